import { defineConfig } from "vite";

export default defineConfig({
    esbuild: { jsx: "automatic", jsxImportSource: "preact" },
    build: {
        target: "es2020",
        assetsInlineLimit: 0, // the content security policy lets nothing inline
        modulePreload: { polyfill: false },
        reportCompressedSize: false,
    },
    server: { proxy: { "/api": "http://127.0.0.1:8765" } }, // for work on the page beside a running `amphora demo`
});
