/**
 * All modules of web/ in few files (for scripts/build_shell): what reads the records first, what the first screen needs, each room, what
 * rooms share, and each library that is fetched when it is used. Every module also has a file at its own address, which hands on what
 * lies in one of these: whoever asks for it gets the very module that the app runs.
 */
'use strict';

const { createRequire } = require('node:module');
const path = require('node:path');

const CHUNKS = 'shell';

/**
 * @param {string} web its folder @param {string[]} names of the modules within it @param {Record<string, string>} mapped the page's import map
 * @param {string[]} starts the modules that the page itself names, the one that reads the records first
 * @returns {Promise<{code: Map<string, string>, starts: string[], atOnce: string[], all: string[]}>} `code` by the file's address, without the slash before
 *   it; `starts` and what they ask for at once, and in the end, as files
 */
async function bundled(web, names, mapped, starts) {
  const { rollup } = createRequire(path.join(web, 'package.json'))('rollup');
  const bundle = await rollup({
    input: Object.fromEntries(names.map((name) => [name.replace(/\.js$/, ''), path.join(web, name)])),
    preserveEntrySignatures: 'strict',
    preserveSymlinks: true, // one tree may borrow the libraries of another
    plugins: [asOnThePage(web, mapped)],
    onwarn: (warning) => {
      if (warning.code !== 'CIRCULAR_DEPENDENCY') throw new Error(warning.message); // acts that are made of acts: they run in one order either way
    },
  });
  const { output } = await bundle.generate({
    format: 'es', entryFileNames: '[name].js', chunkFileNames: `${CHUNKS}/[name].js`, hoistTransitiveImports: false,
    manualChunks: divided(starts.map((name) => path.join(web, name))), generatedCode: 'es2015',
    minifyInternalExports: false, // a page that holds one file of an older build and fetches another of this finds the right names, or none
  });
  await bundle.close();
  const chunks = new Map(output.map((chunk) => [chunk.fileName, chunk]));
  const fileOf = new Map(output.flatMap(({ fileName, moduleIds }) => moduleIds.map((id) => [id, fileName])));
  const first = starts.map((name) => fileOf.get(path.join(web, name)));
  const atOnce = (name) => chunks.get(name).imports;
  return {
    code: new Map(output.map(({ fileName, code }) => [fileName, code])),
    starts: first,
    atOnce: closure(first, atOnce),
    all: closure(first, (name) => [...atOnce(name), ...chunks.get(name).dynamicImports]),
  };
}

/** Names are found as the page's import map finds them, and a module knows its own address wherever it lies. */
function asOnThePage(web, mapped) {
  return {
    name: 'as on the page',
    resolveId(target, origin) {
      if (!origin || target.startsWith('.')) return null;
      const prefix = Object.keys(mapped).find((one) => one === target || (one.endsWith('/') && target.startsWith(one)));
      if (!prefix) throw new Error(`${target}, which ${origin} asks for, is not in the page's import map.`);
      return path.join(web, 'node_modules', (mapped[prefix] + target.slice(prefix.length)).replace(/^\/lib\//, ''));
    },
    resolveImportMeta(property, { moduleId }) {
      if (property !== 'url') return null;
      const address = `/${path.relative(web, moduleId).split(path.sep).join('/')}`;
      return `new URL(${JSON.stringify(address)}, self.location.origin).href`;
    },
  };
}

/** Which file each module goes into: asked of Rollup when all of them are known. @param {string[]} starts */
function divided(starts) {
  let places = null;
  return (id, { getModuleInfo, getModuleIds }) => {
    places ??= placed(starts, [...getModuleIds()], getModuleInfo);
    return places.get(id);
  };
}

/** @returns {Map<string, string>} */
function placed([reading, drawing], ids, info) {
  const needed = (id) => closure([id], (one) => info(one).importedIds);
  const places = new Map(needed(reading).map((id) => [id, 'begin']));
  const settle = (id, place) => places.has(id) || places.set(id, place);
  needed(drawing).forEach((id) => settle(id, 'first'));
  const later = [...new Set(ids.flatMap((id) => info(id).dynamicallyImportedIds))].sort();
  const users = new Map();
  for (const one of later) for (const id of needed(one)) users.set(id, [...(users.get(id) ?? []), one]);
  for (const [id, [one, other]] of users) settle(id, other ? 'between' : path.basename(one).split('.')[0]);
  return places;
}

/** All that is reached from some, themselves too. @template T @param {T[]} starts @param {(one: T) => readonly T[]} next @returns {T[]} */
function closure(starts, next) {
  const found = new Set(starts);
  for (const one of found) for (const other of next(one)) found.add(other);
  return [...found];
}

module.exports = { bundled };
