/** @file What is not let through on the browser's side beside types and format. Run by every check: `node web/node_modules/eslint/bin/eslint.js web`. */
import js from "@eslint/js";
import { configs as lit } from "eslint-plugin-lit";
import globals from "globals";

export default [
  { ignores: ["**/node_modules", "**/built"] },
  js.configs.recommended,
  lit["flat/all"],
  {
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: "latest", sourceType: "module", globals: globals.browser },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    settings: { lit: { elementBaseClasses: ["Part", "Ask", "AskNumber", "MakingDeck"] } },
    rules: {
      "array-callback-return": "error",
      "consistent-return": ["error", { treatUndefinedAsUnspecified: true }],
      "default-case-last": "error",
      "eqeqeq": ["error", "always", { null: "ignore" }],
      "no-else-return": "error",
      "no-implicit-coercion": "error",
      "no-shadow": "error",
      "no-unmodified-loop-condition": "error",
      "no-unused-expressions": "error",
      "no-unused-vars": ["error", { ignoreRestSiblings: true }], // a field is left out of a row by naming it beside the rest
      "no-var": "error",
      "object-shorthand": "error",
      "prefer-const": "error",
      "prefer-template": "error",
      "lit/no-template-arrow": "off", // handlers stand where they act; boards are drawn a few times a minute, not a frame
      "lit/no-template-map": "off", // `map` is what every other list here is made with
      "lit/no-this-assign-in-render": "off", // takes what a handler written in `render` does at a touch for the drawing itself
    },
  },
  { files: ["service-worker.js", "kernel/worker.js"], languageOptions: { globals: globals.serviceworker } },
];
