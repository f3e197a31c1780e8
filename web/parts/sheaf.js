/** Many papers of one kind as one page, so that they go to the printer together; each begins on paper of its own and says whose it is. */

const HEAD = /@top-left \{ content: ("(?:[^"\\]|\\.)*")/; // as documents/templates/paper.css writes it

/**
 * Takes whole pages of our own kernel's HTML, all of one template, and gives one.
 * @param {string[]} pages at least one
 */
export function sheafOf(pages) {
  const [first] = pages;
  const style = /<style>([\s\S]*?)<\/style>/.exec(first)?.[1] ?? "";
  const named = pages.map((page, place) => `@page paper-${place} { @top-left { content: ${HEAD.exec(page)?.[1] ?? '""'}; } }`);
  const bodies = pages.map((page, place) => `<section class="of-sheaf" style="page: paper-${place}">${bodyOf(page)}</section>`);
  const apart = ".of-sheaf { break-before: page; } .of-sheaf:first-child { break-before: auto; }";
  const whole = "@page { @top-right { content: none; } }"; // pages are counted through the pile there, which tells nobody anything
  return `<!doctype html><html lang="en-US"><head><meta charset="utf-8"><title>${titleOf(first)}</title>
<style>${style}
${whole}${named.join("\n")}${apart}</style></head><body>${bodies.join("\n")}</body></html>`;
}

/** @param {string} page */
const bodyOf = (page) => page.slice(page.indexOf("<body>") + "<body>".length, page.lastIndexOf("</body>"));

/** @param {string} page */
const titleOf = (page) => /<title>([\s\S]*?)<\/title>/.exec(page)?.[1] ?? "papers";
