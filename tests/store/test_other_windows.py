"""What one window of a device has written the others are told, once it is written: they read it again."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.rows import ROWS
from store.in_page import in_page

TOLD = """{
  const at = (name) => import(`${asked.web}store/${name}.js`);
  const names = ['acts', 'sentences', 'house', 'moved', 'people', 'database', 'known'];
  const [acts, { sentences }, { house }, moved, people, database, { load }] = await Promise.all(names.map(at));
  const happened = [];
  BroadcastChannel.prototype.postMessage = (what) => happened.push(what);
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (...given) {
    const made = transaction.apply(this, given);
    if (made.mode === 'readwrite') made.addEventListener('complete', () => happened.push('written'));
    return made;
  };
  const answers = {};
  globalThis.fetch = async (path, { body } = {}) => {
    const door = path.split('/').at(-1);
    if (!answers[door]) throw new TypeError('it is out of reach');
    const whole = { ...answers[door], request: body ? JSON.parse(body).request : undefined };
    return new Response(JSON.stringify(whole), { headers: { 'Content-Type': 'application/json' } });
  };
  const house_time = '2027-07-24T15:00:00Z';
  const common = { protocol: 1, epoch: 'screens', cursor: 1, granted: {}, spent: {}, last_seq: 9, house_time };
  const exchange = { ...common, landed: [], refused: [], changes: [], more: false, pool: {}, short: {}, ask_back: {}, covered_to: 0 };
  const mirror = { ...common, rows: [], balances: [], sure: [], handed: [], paid: [], last_hash: '' };
  const keepMarks = (more) => database.write(['keep'], (tx) => tx.objectStore('keep').put({ ...known.marks, ...more }, 'marks'));
  const draft = (units) => ({ person: null, lines: [{ good: 'bar', units }], amends: null });
  let op = '';
  const does = {
    entry: async () => { ({ op } = await acts.savePerson({ name: 'One' })); },
    entries: () => people.bringPeople([{ id: 'p9', name: 'Nine' }]),
    'set aside': () => house.dismiss(op),
    'a sentence': async () => { sentences.write(draft(1)); await sentences.settled(); },
    'put on hold': () => sentences.park(),
    'taken up': () => sentences.open([...known.sentences.keys()][0]),
    'started over': () => sentences.drop(),
    heard: async () => {
      await keepMarks({ shape: 9 });
      await load();
      answers.exchange = exchange;
      happened.length = 0;
      await house.exchange();
    },
    'fetched anew': async () => {
      await keepMarks({ shape: 1 });
      answers.mirror = mirror;
      answers.exchange = null;
      happened.length = 0;
      await house.exchange();
    },
    'handed over': async () => {
      await keepMarks({ shape: 9, house: 'h' });
      await load();
      Object.assign(answers, { health: { house: 'h' }, exchange, mirror: null });
      happened.length = 0;
      await moved.handOver('https://new.local');
    },
    'added anew': async () => {
      answers.exchange = null;
      answers.enrol = { device: 'phone-b', token: 't', mark: 'B', role: 'keeper', name: 'Second' };
      await house.enrol('code', 'Second');
    },
  };
  const said = {};
  for (const [name, work] of Object.entries(does)) {
    happened.length = 0;
    await work();
    said[name] = [happened.includes('written'), happened.at(-1), happened.filter((what) => what !== 'written').length];
  }
  return said;
}"""


def test_whatever_was_written_the_other_windows_are_told_afterwards() -> None:
    """Of a half-made order they are told that it is one: nothing else is read again for it."""
    told: dict[str, Any] = in_page("store/acts.js", TOLD, {"web": f"{WEB.as_uri()}/"}, ROWS)
    sentence = ("a sentence", "put on hold", "taken up", "started over")
    assert {name: last for name, (_, last, _) in told.items()} == {
        name: "sentences" if name in sentence else "changed" for name in told
    }  # fmt: skip
    assert {name: times for name, (_, _, times) in told.items() if name != "handed over"} == dict.fromkeys(told.keys() - {"handed over"}, 1)
    assert [name for name, (written, _, _) in told.items() if not written] == []
