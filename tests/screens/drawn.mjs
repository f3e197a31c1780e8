/**
 * @file An element of the app drawn into plain lines: what stands there, its keys and links in brackets with where they lead, its fields with
 * what is in them, and of each how it stands (off, pressed, here). Elements within it are drawn, too. Its keys can be touched.
 */

import { effects } from "./effects.mjs";

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

/** @typedef {{tag: string, has: Record<string, any>, acts: Record<string, Function>, within: (Node | string)[], of?: string, own?: [Node, string]}} Node */

/** A screen: one element of the app, drawn anew each time it is looked at. */
export class Screen {
  #elements = new Map();
  /** What was typed, by the form's place and the field's name. */
  #typed = new Map();
  /** Whose template is read: its functions are called as the element's own. */
  #host = null;

  /** What each property of an element was when it was drawn last. @type {Map<any, Map<string, any>>} */
  #was = new Map();
  /** What each element drew last. @type {Map<any, (Node | string)[]>} */
  #trees = new Map();
  /** Elements that stand in the drawing under way. */
  #here = new Set();

  /** @param {string} tag an element of the app, or none for a template by itself @param {Record<string, any>} [properties] or `{template}` */
  constructor(tag, properties = {}) {
    this.tag = tag;
    this.properties = properties;
  }

  /** @returns {string[]} what it says, line by line */
  said() {
    this.#here.clear();
    const top = { tag: this.tag, has: {}, acts: {}, within: [], properties: this.properties };
    this.drawn = this.tag ? this.#own(top, "") : { ...top, properties: {}, within: this.#tree(this.properties.template, "") };
    for (const [key, element] of this.#elements) if (!this.#here.has(key)) this.#gone(key, element);
    return lines(this.drawn);
  }

  /** All of it: every element with whatever it has, pictures too. @returns {string} */
  whole() {
    return whole(this.drawn, "");
  }

  /** The screen is left. */
  leave() {
    for (const [key, element] of this.#elements) this.#gone(key, element);
  }

  #gone(key, element) {
    this.#elements.delete(key);
    this.#was.delete(element);
    this.#trees.delete(element);
    element.disconnectedCallback?.();
  }

  /** Whatever hears something, in the order in which it stands: `[what it is, what it hears]`. @returns {[Node, string][]} */
  hearing() {
    return nodes(this.drawn).flatMap((one) => Object.keys(one.acts).map((what) => [one, what]));
  }

  /** Whether something stands there in the same place. @param {Node} node */
  like(node) {
    const same = (one) => one.tag === node.tag && one.of === node.of && wordsOf(one) === wordsOf(node);
    return nodes(this.drawn).find((one) => same(one) && Object.keys(node.acts).every((what) => what in one.acts));
  }

  /** Has it hear that. @param {Node} node @param {string} what @param {Record<string, any>} [more] of the event @param {Record<string, any>} [field] */
  hear(node, what, more = {}, field = {}) {
    const form = what === "submit" ? this.#filled(node, field) : undefined;
    const target = form ?? { ...aimed(node), ...field };
    return node.acts[what]?.({ ...event(target), ...more });
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

  /** Fills in a field. @param {string} name or its type, or its tag where it has neither @param {string} value @param {number} [nth] of those with this name */
  fill(name, value, nth = 0) {
    const field = nodes(this.drawn).filter((one) => isField(one) && [one.has.name, one.has.type ?? one.tag].includes(name))[nth];
    if (!field) throw new Error(`No field is called ${name}.`);
    const form = this.#formOf(field);
    this.#typed.set(`${this.#forms().indexOf(form)} ${name}`, value);
    const target = { ...aimed(field), value, checked: value === "on", form: form && this.#filled(form) };
    for (const what of ["input", "change"]) field.acts[what]?.(event(target));
  }

  /** What is found in the screen. @param {string} which a selector */
  #found(which) {
    const node = nodes(this.drawn ?? "").find((one) => fits(one, which));
    if (!node) return null;
    if (!isField(node)) return aimed(node, which);
    return { ...aimed(node, which), value: this.#typed.get(`-1 ${node.has.name}`) ?? node.properties.value ?? node.has.value ?? "" };
  }

  #forms() {
    return nodes(this.drawn).filter((one) => one.acts.submit);
  }

  #formOf(node) {
    return this.#forms().find((form) => nodes(form).includes(node) || (node.has.form && node.has.form === form.has.id));
  }

  /** A form with what stands in its fields. */
  #filled(form, otherwise = {}) {
    const place = this.#forms().indexOf(form);
    const values = new Map();
    for (const field of nodes(form).filter(isField)) {
      const { has, properties, within } = field;
      const ticks = ["checkbox", "radio"].includes(has.type);
      const typed = mayBe(field, otherwise[has.name] ?? otherwise["*"]) ?? this.#typed.get(`${place} ${has.name}`);
      if (ticks ? (typed ?? ("checked" in has || properties.checked ? "on" : "")) !== "on" : !has.name) continue;
      values.set(has.name, ticks ? (has.value ?? "on") : (typed ?? properties.value ?? has.value ?? chosen(field) ?? within.join("")));
    }
    const elements = Object.fromEntries([...values].map(([name, value]) => [name, { name, value, dataset: {}, focus() {}, select() {} }]));
    return { ...aimed(form), values, elements, reset: () => this.#typed.clear(), reportValidity: () => true, checkValidity: () => true };
  }

  /** An element of ours with what it draws. */
  #own(node, path) {
    const key = `${path}/${node.tag}`;
    this.#here.add(key);
    const isNew = !this.#elements.has(key);
    if (isNew) this.#elements.set(key, this.#made(node));
    const element = this.#elements.get(key);
    for (const [name, value] of Object.entries({ ...named(element, node.has), ...node.properties })) element[name] = value;
    element.dispatchEvent = ({ type, detail }) => {
      effects.push(`${node.tag} tells ${type}`);
      return node.acts[type]?.(event(element, detail));
    };
    if (isNew) element.connectedCallback?.();
    const tree = element.isUpdatePending || isNew ? this.#drawnAnew(element, node.tag, key, isNew) : this.#again(this.#trees.get(element));
    this.#trees.set(element, tree);
    return { ...node, within: tree, own: [node, path] };
  }

  /** As an element draws itself, when something of it changed or it asked to be drawn. */
  #drawnAnew(element, tag, key, isNew) {
    const changed = this.#changed(element);
    element.willUpdate?.(changed);
    const before = this.#host;
    this.#host = { element, tag: before ? `${before.tag} ${tag}` : tag };
    const template = element.render();
    this.#changed(element); // what was set meanwhile is drawn already
    element.isUpdatePending = false;
    const within = this.#tree(template, key);
    this.#host = before;
    setImmediate(() => {
      if (!this.#was.has(element)) return;
      if (isNew) element.firstUpdated?.(changed);
      element.updated?.(changed);
    });
    return within;
  }

  /** What was drawn before stands; elements of ours in it may have changed themselves. @param {(Node | string)[]} tree */
  #again(tree) {
    return tree.map((one) => {
      if (typeof one === "string") return one;
      return one.own ? this.#own(...one.own) : { ...one, within: this.#again(one.within) };
    });
  }

  #made(node) {
    const element = new (customElements.get(node.tag))();
    const own = {
      getAttribute: (name) => node.has[name] ?? null,
      querySelector: (which) => this.#found(which),
      querySelectorAll: () => [],
      replaceChildren() {},
      closest: () => null,
      remove: () => effects.push(`${node.tag} goes away`),
      scrollIntoView: () => effects.push(`${node.tag} comes into sight`),
      focus: () => effects.push(`the keyboard is on ${node.tag}`),
      hasAttribute: (name) => name in node.has,
      updateComplete: Promise.resolve(true),
      performUpdate() {}, // it is drawn when somebody looks
    };
    for (const [name, value] of Object.entries(own)) Object.defineProperty(element, name, { value, configurable: true, writable: true });
    return element;
  }

  /** Its properties that are not what they were, with what they were. */
  #changed(element) {
    const was = this.#was.get(element) ?? new Map();
    const now = new Map([...(element.constructor.elementProperties?.keys() ?? [])].map((name) => [name, element[name]]));
    this.#was.set(element, now);
    return new Map([...now].filter(([name, value]) => was.get(name) !== value).map(([name]) => [name, was.get(name)]));
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
      const node = { tag, has: {}, acts: {}, within: [], properties: {}, of: this.#host?.tag ?? "" };
      bind(node, bound, values, this.#host?.element);
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

const event = (target, detail) => ({
  target,
  currentTarget: target,
  detail,
  preventDefault: () => effects.push("nothing else comes of it"),
  stopPropagation() {},
});
const aimed = ({ has, properties, tag }, called = has.name ?? has["aria-label"] ?? tag) => ({
  ...has,
  ...properties,
  dataset: Object.fromEntries(
    Object.entries(has).flatMap(([name, value]) =>
      name.startsWith("data-") ? [[name.slice(5).replace(/-(.)/g, (_, letter) => letter.toUpperCase()), value]] : [],
    ),
  ),
  closest: () => null,
  querySelector: () => null,
  contains: () => false,
  checkVisibility: () => true,
  matches: () => false,
  getAttribute: (name) => has[name] ?? null,
  blur: () => effects.push(`the keyboard leaves ${called}`),
  focus: () => effects.push(`the keyboard is on ${called}`),
  select: () => effects.push(`all of ${called} is chosen`),
  showModal: () => effects.push(`${called} opens`),
  close: () => effects.push(`${called} closes`),
  scrollIntoView: () => effects.push(`${called} comes into sight`),
  scrollTo: () => effects.push(`${called} is scrolled`),
});

/** Whether a node is what one of these selectors names, by its last part. */
function fits({ tag, has }, which) {
  return which.split(",").some((one) => {
    const last = one.trim().split(/[\s>]+/).at(-1);
    const [, wanted, more] = /^([\w-]*)(.*)$/.exec(last);
    if (wanted && wanted !== tag) return false;
    return [...more.matchAll(/\.([\w-]+)|\[([\w-]+)(?:=["']?([^"'\]]*)["']?)?\]|./g)].every(([, kind, name, value]) => {
      if (kind) return has.class?.split(" ").includes(kind);
      return name !== undefined && name in has && (value === undefined || has[name] === value);
    });
  });
}

/** @param {Node | string} node @param {string} before */
function whole(node, before) {
  if (typeof node === "string") {
    const words = node.replace(/\s+/g, " ").trim();
    return words ? `${before}${words}\n` : "";
  }
  const { tag, has, acts, within, properties = {} } = node;
  const own = Object.entries(has).map(([name, value]) => `${name}="${value}"`);
  const set = Object.entries(properties).map(([name, value]) => `.${name}=${Object(value) === value ? "…" : JSON.stringify(value)}`);
  const hears = Object.entries(acts).flatMap(([name, act]) => (act ? [`@${name}`] : []));
  const said = [tag, ...own, ...set, ...hears].join(" ").replace(/\s+/g, " ");
  return `${before}<${said}>\n${within.map((one) => whole(one, `${before} `)).join("")}`;
}
const isKey = ({ tag, has }) => ["button", "a", "summary"].includes(tag) && !("disabled" in has);
const isField = ({ tag }) => ["input", "textarea", "select"].includes(tag);

/** What a field has after that was put in: one to choose from has one of its own, and a day is a day. @param {Node} field @param {string} [value] */
function mayBe(field, value) {
  if (value === undefined) return undefined;
  if (field.has.type === "date") return value && "2027-08-04";
  return field.tag === "select" ? nodes(field).findLast(({ tag }) => tag === "option")?.has.value : value;
}

/** Which of its options a field begins with. @param {Node} field */
function chosen(field) {
  const options = nodes(field).filter(({ tag }) => tag === "option");
  return (options.find(({ has }) => "selected" in has) ?? options[0])?.has.value;
}

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
  const known = [...(element.constructor.elementProperties ?? [])];
  return Object.fromEntries(
    known.flatMap(([name, { attribute = name.toLowerCase(), type } = {}]) =>
      type === Boolean ? [[name, attribute in has || (element[name] === true && false)]] : attribute in has ? [[name, has[attribute]]] : [],
    ),
  );
}

/** @param {Node | string} node @param {Node[]} [all] @returns {Node[]} it and whatever is within it */
function nodes(node, all = []) {
  if (typeof node === "string") return all;
  all.push(node);
  for (const one of node.within) nodes(one, all);
  return all;
}

/** What a thing says first. @param {Node} node */
export const wordsOf = (node) => lines(node)[0] ?? "";

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
