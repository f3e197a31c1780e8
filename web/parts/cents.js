/** @import { Act } from "./act.js" */

const CENTS = 100;
const AMOUNT = /^\d{1,6}([.,]\d{1,2})?$/;

/**
 * Dollars and cents as they were typed, in whole cents; 0 when it is no amount, which the act then says.
 * @param {FormDataEntryValue | null} written
 * @param {Act} act
 */
export function centsWritten(written, act) {
  const typed = String(written ?? "").trim();
  const cents = AMOUNT.test(typed) ? Math.round(Number(typed.replace(",", ".")) * CENTS) : 0;
  if (!cents) {
    const remedy = "Write dollars and cents, such as 12.50.";
    act.failed(Object.assign(new Error(typed ? `“${typed}” is no amount.` : "No amount is written there."), { kind: "draft", remedy }));
  }
  return cents;
}
