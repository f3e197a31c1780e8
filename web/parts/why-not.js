import { html } from "lit";

/** @import { WhyNot } from "../kernel/answers.d.ts" */

/** Why each carton here does not hold an order. @param {WhyNot[] | undefined} rows */
export const whyNotSaid = (rows) =>
  html`<ul class="why-not">${(rows ?? []).map(({ name, why }) => html`<li><strong>${name}</strong>: ${why}</li>`)}</ul>`;
