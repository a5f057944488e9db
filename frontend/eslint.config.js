import svelte from "eslint-plugin-svelte";
import ts from "typescript-eslint";
import config from "./svelte.config.js";

export default ts.config(
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: ts.parser, svelteConfig: config } },
  },
  {
    rules: {
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_" }],
      "svelte/prefer-svelte-reactivity": "off",
    },
  },
);
