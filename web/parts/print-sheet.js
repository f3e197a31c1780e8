const FACE = `<style>@font-face{font-family:"Atkinson Hyperlegible Next Variable";font-weight:200 800;
src:url("${location.origin}/lib/@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2") format("woff2")}</style>`;
const LONGEST_WAIT_MS = 2000;

/**
 * Prints a whole page of our own kernel's HTML through a frame that is not seen, so the room stays as it is.
 * @param {string} page
 */
export async function printSheet(page) {
  const frame = document.createElement("iframe");
  frame.className = "spoken";
  frame.title = "paper to print";
  frame.setAttribute("aria-hidden", "true");
  frame.srcdoc = page.includes("</head>") ? page.replace("</head>", `${FACE}</head>`) : FACE + page;
  const drawn = new Promise((done) => frame.addEventListener("load", done, { once: true }));
  document.body.append(frame);
  await drawn;
  const sheet = frame.contentWindow;
  if (!sheet) return; // the page itself is being left
  await Promise.race([sheet.document.fonts?.ready, new Promise((done) => setTimeout(done, LONGEST_WAIT_MS))]);
  sheet.addEventListener("afterprint", () => frame.remove());
  sheet.focus();
  sheet.print();
}
