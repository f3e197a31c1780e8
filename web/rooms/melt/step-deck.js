import { html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { placeOf } from "../../parts/route.js";
import { weightSaid } from "../../parts/words.js";
import { pass } from "../../store/acts.js";
import { waxFirst, waxSafety } from "../../parts/safety.js";
import { MakingDeck } from "./making-deck.js";
import { stageOf } from "../../parts/weighing.js";

/** From one stage to the next: what went in, what came out, and so what was lost. Property `from`. */
class StepDeck extends MakingDeck {
  static properties = { from: {} };

  constructor() {
    super();
    this.from = "";
  }

  render() {
    const stage = stageOf(this.from);
    if (!stage?.to) return nothing;
    const { lot, units } = this.source(this.from);
    const grams = this.values.in ?? units;
    const outs = stage.to.map((good) => ({ good, units: this.values[good] ?? 0 })).filter((out) => out.units > 0);
    const came = outs.reduce((sum, out) => sum + out.units, 0);
    const fields = [
      { key: "in", words: `${stage.name} in`, usual: units || null },
      ...stage.to.map((good) => ({ key: good, words: `${stageOf(good)?.name ?? good} out` })),
    ];
    const ready = grams > 0 && came > 0 && came <= grams;
    return html`
      <a class="key tight back" href=${placeOf("melt")}>back</a>
      <h2 class="where">${stage.step}${lot ? `, ${lot}` : ""}</h2>
      ${waxFirst()}
      ${this.outcome()}
      ${this.lotKeys(this.from)}
      ${keyed(this.from, html`<weigh-walk .fields=${fields} .values=${this.values} @change=${this.put}></weigh-walk>`)}
      <p role="status" class=${came > grams ? "heed" : "faint"}>${came > grams ? "More came out than went in. Weigh both again." : came ? `${weightSaid(grams - came)} lost on the way.` : "Weigh what came out; the rest is lost."}</p>
      <button type="button" class="key say" ?disabled=${!ready} @click=${() =>
        this.act(
          () => pass({ from: this.from, lot: lot ?? undefined, grams, to: outs }),
          `${outs.map((out) => `${weightSaid(out.units)} of ${stageOf(out.good)?.name ?? out.good}`).join(" and ")}${grams > came ? `, ${weightSaid(grams - came)} lost` : ""}.`,
        )}>${stage.step} done</button>
      ${waxSafety()}`;
  }
}
customElements.define("step-deck", StepDeck);
