import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { agoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/**
 * How the backups on the main computer stand, asked once it is shown. Property `trouble`: said only when the last one failed. Nothing where
 * none are made by themselves, or the main computer is out of reach.
 */
class BackupSaid extends Part {
  static properties = { trouble: { type: Boolean }, last: { state: true } };

  constructor() {
    super();
    this.trouble = false;
    /** @type {{made_at: string | null, failing: boolean} | null} */
    this.last = null;
  }

  connectedCallback() {
    super.connectedCallback();
    house.call("/api/health").then(
      (/** @type {{backup?: BackupSaid["last"]}} */ { backup }) => {
        this.last = backup ?? null;
      },
      () => {},
    );
  }

  render() {
    if (!this.last) return nothing;
    const { made_at: at, failing } = this.last;
    const ago = at ? agoSaid(house.now().getTime() - new Date(at).getTime()) : "";
    if (failing)
      return html`<p class="heed" role="alert">The last backup failed${ago ? `; the newest was made ${ago}` : ""}. Look at the window on the main computer in which Honeyhold was started: it says why.</p>`;
    if (this.trouble) return nothing;
    return html`<p class="faint">${ago ? `The newest backup on the main computer was made ${ago}.` : "No backup yet: the first is made with the first entry."}</p>`;
  }
}
customElements.define("backup-said", BackupSaid);
