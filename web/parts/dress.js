/** Light or dark screen. Kept on this device only; "as the device says" is the default. */
const KEY = "honeyhold.dress";

/** @returns {"light" | "dark" | "device"} */
export function dressWanted() {
  const kept = readKept();
  return kept === "light" || kept === "dark" ? kept : "device";
}

/** @param {"light" | "dark" | "device"} dress */
export function wearDress(dress) {
  try {
    if (dress === "device") localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, dress);
  } catch {
    // A full or forbidden store must not keep the room dark or light: wear it for now.
  }
  putOn(dress);
}

/** Called once, before the first room is drawn. */
export const wearKeptDress = () => putOn(dressWanted());

/** @param {"light" | "dark" | "device"} dress */
function putOn(dress) {
  if (dress === "device") delete document.documentElement.dataset.dress;
  else document.documentElement.dataset.dress = dress;
}

function readKept() {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}
