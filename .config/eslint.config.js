import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

export default ts.config(
  { ignores: ['node_modules/', '.build/', '.cache/', '.playwright/'] },
  js.configs.recommended,
  ...ts.configs.recommended,
  ...svelte.configs.recommended,
  { languageOptions: { globals: { ...globals.browser, ...globals.node } } },
  { files: ['**/*.svelte', '**/*.svelte.ts'], languageOptions: { parserOptions: { parser: ts.parser } } },
  {
    files: ['shared/**/*.ts'],
    rules: {
      'no-restricted-globals': ['error', 'window', 'document', 'navigator', 'performance', 'localStorage'],
      'no-restricted-imports': [
        'error',
        { patterns: ['**/src/*', '**/workers/*', '**/demo/*', '**/tests/*', 'node:*'] },
      ],
    },
  },
  {
    files: ['workers/**/*.ts'],
    rules: { 'no-restricted-imports': ['error', { patterns: ['**/src/*', '**/demo/*', '**/tests/*'] }] },
  },
  {
    rules: {
      eqeqeq: 'error',
      'prefer-const': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      // tsc and svelte-check know every name; the lint rule only repeats them, wrongly for types.
      'no-undef': 'off',
    },
  },
);
