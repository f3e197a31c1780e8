"""What comes over the page and goes again: a dialog, the sheet of short ways, and a drawing as large as the screen."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
OVER = """(async () => {
  const { register } = await import('node:module');
  const data = (script) => `data:text/javascript,${encodeURIComponent(script)}`;
  const lit = data(`export * from '${asked.lit}'; export const render = (drawn, into) => { into.drawn = drawn; };`);
  register(data(`export const resolve = (name, context, next) => name === 'lit' && /^file:(?!.*node_modules)/.test(context.parentURL)
    ? { url: ${JSON.stringify(lit)}, format: 'module', shortCircuit: true } : next(name, context);`));
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const { listeners } = await import(`${asked.screens}/page.mjs`);
  const told = [];
  class Dialog extends EventTarget {
    showModal() { told.push(`${this.stands ? 'opens' : 'cannot open'}`); }
    close() { told.push('closes'); this.dispatchEvent(new Event('close')); }
    remove() { told.push('goes'); this.stands = false; }
    setAttribute(name, value) { this[name] = value; }
  }
  let dialog = null;
  document.createElement = (tag) => (tag === 'dialog' ? (dialog = new Dialog()) : null);
  document.body.append = (one) => { one.stands = true; told.push(`${one.className} stands there`); };
  const since = () => told.splice(0);
  const heard = () => JSON.stringify(listeners());
  const sheet = () => {
    const drawn = new Screen('', { template: dialog.drawn });
    drawn.said();
    return drawn;
  };
  return WORK;
})()"""


def over(work: str, asked: Json | None = None) -> Any:
    lit = (WEB / "node_modules/lit/index.js").as_uri()
    return in_page("store/database.js", OVER.replace("WORK", work), {"screens": SCREENS, "lit": lit, **(asked or {})})


def test_a_dialog_stands_over_the_page_until_its_key_escape_or_the_way_back() -> None:
    """It is opened once it is in the page; once it went, nothing of it listens any more."""
    told = over("""await (async () => {
      const { showOver } = await module('parts/over.js');
      const before = heard(), all = [];
      const ways = [() => close(), () => dialog.dispatchEvent(new Event('close')), () => dispatchEvent(new Event('hashchange'))];
      let close;
      for (const way of ways) {
        const shown = showOver('sheet', (end) => { close = end; return 'words'; });
        all.push([shown === dialog, dialog.drawn, since(), heard() === before]);
        way();
        const went = since();
        dispatchEvent(new Event('hashchange'));
        all.push([went, since(), heard() === before]);
      }
      return all;
    })()""")
    shown = [True, "words", ["sheet stands there", "opens"], False]
    assert told == [shown, [["closes", "goes"], [], True], shown, [["goes"], [], True], shown, [["closes", "goes"], [], True]]


def test_the_sheet_of_short_ways_turns_single_keys_off_and_on() -> None:
    """What the device keeps is how the tick stands when the sheet comes up again."""
    told = over("""await (async () => {
      const { showShortcuts } = await module('parts/shortcuts.js');
      const all = [];
      for (const tick of ['off', 'on']) {
        showShortcuts();
        const drawn = sheet(), before = drawn.said();
        drawn.fill('checkbox', tick);
        all.push([dialog['aria-labelledby'], before, localStorage.getItem('honeyhold.single-keys')]);
        since();
        drawn.touch('close');
        all.push(since());
      }
      showShortcuts();
      return [...all, sheet().said().filter((line) => line.includes('checkbox'))];
    })()""")
    on, closed, off, closed_again, last = told
    assert [on[0], on[2], off[2]] == ["shortcuts-title", "off", "on"] and closed == closed_again == ["closes", "goes"]
    assert on[1][0] == "# By keyboard" and on[1][-1] == "[close]" and "Alt + 1 to 6" in on[1]
    ticks = [[line for line in lines if "checkbox" in line] for lines in (on[1], off[1], last)]
    assert ["(ticked)" in line for [line] in ticks] == [True, False, True]


def test_a_drawing_is_seen_large() -> None:
    """The one whose key was touched, by its own title; and it closes by its key."""
    told = over("""await (async () => {
      const { askAlso } = await module('kernel/work.js');
      await module('parts/picture.js');
      askAlso({ inReach: () => true, ask: async () => ({ answer: { svgs: asked.svgs } }) });
      const { settled } = await import(`${asked.screens}/settled.mjs`);
      const screen = new Screen('kernel-picture', { name: 'heat.harm', request: {} });
      const lines = await settled(screen);
      const seen = (template) => template.values.flatMap((one) => (one?.values ?? []).filter((value) => typeof value === 'string'));
      const all = [lines];
      for (const title of ['the drawing', 'The way']) {
        screen.touch(`See it large: ${title}`);
        all.push([dialog.className, dialog.ariaLabel, seen(dialog.drawn)]);
      }
      since();
      sheet().touch('close');
      return [...all, since()];
    })()""", {"svgs": ["<svg><title>The way</title></svg>", "<svg></svg>"]})
    assert [line for line in told[0] if "large" in line] == [
        "(drawn) [“See it large: The way” ]", "(drawn) [“See it large: the drawing” ]",
    ]  # fmt: skip
    large = ["large-picture", "The drawing, large"]
    assert told[1:] == [[*large, ["<svg></svg>"]], [*large, ["<svg><title>The way</title></svg>"]], ["closes", "goes"]]
