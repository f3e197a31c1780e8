/**
 * @file An element of the app drawn into plain lines: what stands there, its keys and links in brackets with where they lead, its fields with
 * what is in them, and of each how it stands (off, pressed, here). Elements within it are drawn, too. Its keys can be touched.
 */

const TAGS = /<!--[\s\S]*?-->|<(\/?)([a-zA-Z][\w-]*)((?:"[^"]*"|'[^']*'|[^"'>])*)>/g;
const BOUND = /([.?@]?[\w-]+)(?:=("[^"]*"|'[^']*'|[^\s"'>]+))?/g;
const PLACED = /\u0001(\d+)\u0001/;
const ALONE = new Set(["br", "hr", "img", "input", "link", "meta", "path", "rect", "circle", "line"]);
const IN_A_LINE = new Set(["strong", "em", "small", "span", "i", "b", "a", "button", "sub", "sup", "time", "abbr", "mark", "code"]);
/** What tells how a thing stands, and how it is said. */
const STANDS = { disabled: "off", hidden: "hidden", checked: "ticked", open: "open", required: "needed", readonly: "fixed" };
const PRESSED = {
  "aria-pressed": "pressed",
  "aria-current": "here",
  "aria-checked": "ticked",
  "aria-expanded": "open",
  "aria-selected": "chosen",
};

/** @typedef {{tag: string, has: Record<string, any>, acts: Record<string, Function>, within: (Node | string)[], element?: any}} Node */

/** A screen: one element of the app, drawn anew each time it is looked at. */
export class Screen {
  #elements = new Map();
  /** What was typed, by the form's place and the field's name. */
  #typed = new Map();
  /** Whose template is read: its functions are called as the element's own. */
  #host = null;

  /** @param {string} tag @param {Record<string, any>} [properties] */
  constructor(tag, properties = {}) {
    this.tag = tag;
    this.properties = properties;
  }

  /** @returns {string[]} what it says, line by line */
  said() {
    this.drawn = this.#own({ tag: this.tag, has: {}, acts: {}, within: [], properties: this.properties }, "");
    return lines(this.drawn);
  }

  /** Touches the key that begins with these words, else one that has them. @param {string} words @param {number} [nth] of several */
  touch(words, nth = 0) {
    const keys = nodes(this.drawn).filter((one) => isKey(one) && (one.acts.click || this.#formOf(one)));
    const exact = keys.filter((one) => lines(one)[0]?.startsWith(`[${words}]`));
    const key = exact[nth] ?? keys.find((one) => lines(one).join(" ").includes(words));
    if (!key) throw new Error(`No key says “${words}”, but: ${keys.map((one) => lines(one).join(" ")).join(" ")}`);
    const form = this.#formOf(key);
    if (key.acts.click) key.acts.click(event(aimed(key)));
    else form.acts.submit({ ...event(this.#filled(form)), submitter: aimed(key) });
  }

  /** Fills in a field. @param {string} name @param {string} value @param {number} [nth] of those with this name */
  fill(name, value, nth = 0) {
    const field = nodes(this.drawn).filter((one) => isField(one) && (one.has.name === name || one.has.type === name))[nth];
    if (!field) throw new Error(`No field is called ${name}.`);
    const form = this.#formOf(field);
    this.#typed.set(`${this.#forms().indexOf(form)} ${name}`, value);
    const target = { ...aimed(field), value, checked: value === "on", form: form && this.#filled(form) };
    for (const what of ["input", "change"]) field.acts[what]?.(event(target));
  }

  /** A field outside of every form, by its name or by what it is. @param {string} which a selector */
  #field(which) {
    const wanted = /\[name=["']?([\w-]+)/.exec(which)?.[1];
    const field = nodes(this.drawn).find((one) => isField(one) && (wanted ? one.has.name === wanted : one.tag === which));
    const name = field?.has.name;
    return field ? { ...aimed(field), value: this.#typed.get(`-1 ${name}`) ?? field.properties.value ?? field.has.value ?? "" } : null;
  }

  #forms() {
    return nodes(this.drawn).filter((one) => one.acts.submit);
  }

  #formOf(node) {
    return this.#forms().find((form) => nodes(form).includes(node) || (node.has.form && node.has.form === form.has.id));
  }

  /** A form with what stands in its fields. */
  #filled(form) {
    const place = this.#forms().indexOf(form);
    const values = new Map();
    for (const { has, properties, within } of nodes(form).filter(isField)) {
      const ticks = ["checkbox", "radio"].includes(has.type);
      const typed = this.#typed.get(`${place} ${has.name}`);
      if (ticks ? (typed ?? ("checked" in has || properties.checked ? "on" : "")) !== "on" : !has.name) continue;
      values.set(has.name, ticks ? (has.value ?? "on") : (typed ?? properties.value ?? has.value ?? within.join("")));
    }
    const elements = Object.fromEntries([...values].map(([name, value]) => [name, { name, value, dataset: {}, focus() {}, select() {} }]));
    return { ...aimed(form), values, elements, reset: () => this.#typed.clear(), reportValidity: () => true, checkValidity: () => true };
  }

  /** An element of ours with what it draws. */
  #own(node, path) {
    const key = `${path}/${node.tag}`;
    if (!this.#elements.has(key)) {
      const element = new (customElements.get(node.tag))();
      const own = {
        getAttribute: (name) => node.has[name] ?? null,
        querySelector: (which) => this.#field(which),
        querySelectorAll: () => [],
        closest: () => null,
        scrollIntoView() {},
        updateComplete: Promise.resolve(true),
      };
      for (const [name, value] of Object.entries(own)) Object.defineProperty(element, name, { value, configurable: true, writable: true });
      this.#elements.set(key, element);
    }
    const element = this.#elements.get(key);
    const changed = new Map();
    for (const [name, value] of Object.entries({ ...named(element, node.has), ...node.properties })) {
      if (element[name] !== value) changed.set(name, element[name]);
      element[name] = value;
    }
    element.dispatchEvent = ({ type, detail }) => node.acts[type]?.(event(element, detail));
    element.willUpdate?.(changed);
    const before = this.#host;
    this.#host = element;
    const within = this.#tree(element.render(), key);
    this.#host = before;
    return { ...node, within };
  }

  /** @returns {(Node | string)[]} */
  #tree(value, path) {
    if (value === null || value === undefined || ["symbol", "function", "boolean"].includes(typeof value)) return [];
    if (typeof value !== "string" && typeof value[Symbol.iterator] === "function")
      return [...value].flatMap((one, at) => this.#tree(one, `${path}.${at}`));
    if (value.strings) return this.#template(value, path);
    if (value._$litDirective$) return value.values.length > 1 ? this.#tree(value.values[1], `${path}:${value.values[0]}`) : ["(drawn)"];
    return [String(value)];
  }

  #template({ strings, values }, path) {
    const whole = strings.reduce((sum, piece, at) => `${sum}\u0001${at - 1}\u0001${piece}`);
    const top = { tag: "", has: {}, acts: {}, within: [] };
    const open = [top];
    const say = (words) => {
      words.split(/(\u0001\d+\u0001)/).forEach((piece) => {
        const place = PLACED.exec(piece);
        open.at(-1).within.push(...(place ? this.#tree(values[place[1]], `${path}.${place[1]}`) : [piece]));
      });
    };
    let read = 0;
    for (const found of whole.matchAll(TAGS)) {
      say(whole.slice(read, found.index));
      read = found.index + found[0].length;
      const [, ends, tag, bound] = found;
      if (!tag) continue;
      if (ends) {
        const done = open.pop();
        if (done.tag !== tag) throw new Error(`</${tag}> ends <${done.tag}> in ${whole}`);
        if (customElements.get(tag)) open.at(-1).within.splice(-1, 1, this.#own(done, `${path}.${read}`));
        continue;
      }
      const node = { tag, has: {}, acts: {}, within: [], properties: {} };
      bind(node, bound, values, this.#host);
      open.at(-1).within.push(node);
      if (!ALONE.has(tag) && !bound.endsWith("/")) open.push(node);
    }
    say(whole.slice(read));
    return top.within;
  }
}

/** What the modules of a page make of a form. */
globalThis.FormData = class extends Map {
  constructor(form) {
    super(form?.values);
  }
  get(name) {
    return super.get(name) ?? null;
  }
};

const event = (target, detail) => ({ target, currentTarget: target, detail, preventDefault() {}, stopPropagation() {} });
const aimed = ({ has, properties }) => ({
  ...has,
  ...properties,
  dataset: {},
  closest: () => null,
  querySelector: () => null,
  blur() {},
  focus() {},
});
const isKey = ({ tag, has }) => ["button", "a", "summary"].includes(tag) && !("disabled" in has);
const isField = ({ tag }) => ["input", "textarea", "select"].includes(tag);

function bind(node, bound, values, host) {
  for (const [, name, quoted] of bound.matchAll(BOUND)) {
    const given = quoted?.replace(/^(["'])(.*)\1$/s, "$2") ?? "";
    const place = PLACED.exec(given);
    const alone = place && place[0] === given ? values[place[1]] : undefined;
    if (name[0] === "@") node.acts[name.slice(1)] = alone?.bind?.(host);
    else if (name[0] === ".") node.properties[name.slice(1)] = alone;
    else if (name[0] === "?") {
      if (alone) node.has[name.slice(1)] = "";
    } else if (typeof alone !== "symbol" && alone !== null) {
      node.has[name] = given.replace(/\u0001(\d+)\u0001/g, (_, at) => (typeof values[at] === "symbol" ? "" : String(values[at])));
    }
  }
}

/** Attributes of an element of ours as its properties. */
function named(element, has) {
  const known = Object.entries(element.constructor.properties ?? {});
  return Object.fromEntries(
    known.flatMap(([name, { attribute = name.toLowerCase(), type } = {}]) =>
      type === Boolean ? [[name, attribute in has || (element[name] === true && false)]] : attribute in has ? [[name, has[attribute]]] : [],
    ),
  );
}

function nodes(node) {
  return typeof node === "string" ? [] : [node, ...node.within.flatMap(nodes)];
}

/** @param {Node} node @returns {string[]} */
function lines(node) {
  return flat(node)
    .split("\n")
    .map((line) => line.replace(/\s+/g, " ").trim())
    .filter(Boolean);
}

function flat(node) {
  if (typeof node === "string") return node.replace(/\s+/g, " ");
  const { tag, has, properties = {} } = node;
  if (tag === "svg") return "(picture)";
  const own = {
    ...has,
    ...Object.fromEntries(
      ["value", "checked", "open", "hidden", "disabled"].flatMap((name) => (properties[name] ? [[name, properties[name]]] : [])),
    ),
  };
  const stands = [
    ...Object.keys(STANDS)
      .filter((name) => name in own)
      .map((name) => STANDS[name]),
    ...Object.keys(PRESSED)
      .filter((name) => own[name] && own[name] !== "false")
      .map((name) => PRESSED[name]),
    ...(own.class?.split(" ").includes("heed") ? ["heed"] : []),
  ];
  const how = stands.length ? ` (${stands.join(", ")})` : "";
  const label = own["aria-label"] ? `“${own["aria-label"]}” ` : "";
  const within = node.within.map(flat).join("");
  if (tag === "input" || tag === "textarea" || tag === "select") {
    const more = ["type", "min", "max", "step", "maxlength", "inputmode", "pattern", "placeholder"].flatMap((name) =>
      own[name] ? [`${name} ${own[name]}`] : [],
    );
    return `\n{${label}${[own.name ?? "", ...more].join(", ")}: ${own.value ?? ""}${within}}${how}\n`;
  }
  if (tag === "button" || tag === "summary") return ` [${label}${within.trim()}]${how} `;
  if (tag === "a") return ` [${label}${within.trim()}](${own.href ?? ""})${how} `;
  if (tag === "mark") return `‹${within}›`;
  if (IN_A_LINE.has(tag)) return tag === "small" ? ` ${within}${how}` : `${label}${within}${how}`;
  if (/^h\d$/.test(tag)) return `\n# ${within}${how}\n`;
  return `\n${label || how ? `${label}${how}:` : ""}${within}\n`;
}
