/**
 * @file What every exported function of the browser's code takes, read by the compiler: prints JSON, by module and name the kinds of what is
 * given, in order. A kind is text (`good`, `day`: a text or number goes by its name), one of several, a row of the records, an object, a list,
 * a function.
 */

import { createRequire } from "node:module";
import { resolve } from "node:path";

const WEB = resolve(import.meta.dirname, "../../web");
const ts = createRequire(`${WEB}/package.json`)("typescript");
const PLACE = /\/web\/((?:store|parts|rooms|kernel)\/.*\.js)$/;
/** Rows and other things that a house has many of: they are taken from there. */
const FROM_THE_HOUSE = new Set([
  "Order",
  "Good",
  "Person",
  "Line",
  "Parcel",
  "Lot",
  "Carton",
  "Standing",
  "Payment",
  "View",
  "Composed",
  "Draft",
  "Board",
  "Date",
  "Element",
  "HTMLElement",
  "HTMLFormElement",
  "HTMLVideoElement",
  "AbortSignal",
  "Act",
  "Call",
  "CallAnswer",
  "ReactiveControllerHost",
  "Entry",
  "Row",
  "FormData",
  "Blob",
  "Host",
  "ImageData",
  "TemplateResult",
]);
const DEEPEST = 5;

const config = ts.getParsedCommandLineOfConfigFile(
  `${WEB}/tsconfig.json`,
  {},
  { ...ts.sys, onUnRecoverableConfigFileDiagnostic() {} },
);
const program = ts.createProgram(config.fileNames, config.options);
const checker = program.getTypeChecker();
const { TypeFlags: Is } = ts;

/** @param {any} type @param {string} name @param {number} depth @returns {any} */
function kindOf(type, name, depth) {
  const called = type.aliasSymbol?.name ?? type.symbol?.name ?? "";
  const declared = (type.aliasSymbol ?? type.symbol)?.declarations?.[0]?.getSourceFile().fileName ?? "";
  if (called === "IDBPTransaction") return { row: "Tx" };
  if (name === "view") return { row: "View" };
  if (FROM_THE_HOUSE.has(called) && (called !== "Standing" || declared.endsWith("shapes.d.ts"))) return { row: called };
  if (type.flags & Is.BooleanLike && !(type.flags & Is.BooleanLiteral)) return { one: [false, true] };
  if (type.isUnion()) return unionOf(type, name, depth);
  if (type.isLiteral()) return { one: [type.value] };
  if (type.flags & Is.BooleanLiteral) return { one: [type.intrinsicName === "true"] };
  if (type.flags & (Is.Null | Is.Undefined | Is.Void)) return { one: [null] };
  if (type.flags & Is.StringLike) return { text: name };
  if (type.flags & Is.NumberLike) return { number: name };
  if (type.flags & (Is.Any | Is.Unknown | Is.TypeParameter)) return { any: name };
  if (type.getCallSignatures().length) return { does: name };
  if (depth > DEEPEST) return { any: name };
  if (checker.isTupleType(type)) return { tuple: checker.getTypeArguments(type).map((one) => kindOf(one, name, depth + 1)) };
  if (checker.isArrayType(type)) return { list: kindOf(checker.getTypeArguments(type)[0], name.replace(/s$/, ""), depth + 1) };
  if (["Map", "Set", "Iterable"].includes(called))
    return { [called.toLowerCase()]: checker.getTypeArguments(type).slice(0, 2).map((one) => kindOf(one, name, depth + 1)) };
  const fields = Object.fromEntries(
    checker.getPropertiesOfType(type).map((property) => {
      const kind = kindOf(checker.getTypeOfSymbol(property), property.name, depth + 1);
      return [property.name, property.flags & ts.SymbolFlags.Optional ? { maybe: kind } : kind];
    }),
  );
  const index = checker.getIndexInfoOfType(type, ts.IndexKind.String);
  if (!Object.keys(fields).length && index) return { by: kindOf(index.type, name, depth + 1) };
  return { object: fields };
}

function unionOf(type, name, depth) {
  const kinds = type.types.map((one) => kindOf(one, name, depth));
  const literal = kinds.filter(({ one }) => one).flatMap(({ one }) => one);
  const others = kinds.filter(({ one }) => !one);
  const all = [...others, ...(literal.length ? [{ one: [...new Set(literal)] }] : [])];
  return all.length === 1 ? all[0] : { either: all };
}

const found = {};
for (const source of program.getSourceFiles()) {
  const [, module] = PLACE.exec(source.fileName) ?? [];
  const symbol = module && checker.getSymbolAtLocation(source);
  if (!symbol || module.includes("built/")) continue;
  for (const exported of checker.getExportsOfModule(symbol)) {
    if (exported.flags & ts.SymbolFlags.Alias || !exported.valueDeclaration) continue;
    const [signature] = checker.getTypeOfSymbolAtLocation(exported, exported.valueDeclaration).getCallSignatures();
    if (!signature) continue;
    const taken = signature.parameters.map((one) => {
      const type = checker.getTypeOfSymbolAtLocation(one, one.valueDeclaration);
      const name = one.valueDeclaration.name.kind === ts.SyntaxKind.Identifier ? one.name : "given";
      const kind = kindOf(type, name, 0);
      return checker.isOptionalParameter(one.valueDeclaration) ? { maybe: kind } : kind;
    });
    (found[module] ??= {})[exported.name] = taken;
  }
}
process.stdout.write(JSON.stringify(found, null, 0));
