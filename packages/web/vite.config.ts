import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";
import { VitePWA } from "vite-plugin-pwa";

// Core is bundled from its sources: no build of it stands between an edit and the page.
const conditions = ["evencrumb-source", "module", "browser", "import", "default"];

export default defineConfig({
  resolve: { conditions },
  plugins: [
    react(),
    VitePWA({
      registerType: "prompt",
      injectRegister: false,
      manifest: {
        name: "Evencrumb",
        short_name: "Evencrumb",
        description: "A workbench for a baker who develops cakes.",
        lang: "en-GB",
        display: "standalone",
        background_color: "#fbf9f4",
        theme_color: "#fbf9f4",
        icons: [{ src: "icon.svg", sizes: "any", type: "image/svg+xml", purpose: "any" }],
      },
      workbox: {
        globPatterns: ["**/*.{js,css,html,svg,woff2,json}"],
        // The solver is larger than everything else together: fetched when it is first asked, and then kept for the bench.
        runtimeCaching: [
          { urlPattern: /\.wasm$/, handler: "CacheFirst", options: { cacheName: "solvers", expiration: { maxEntries: 2 } } },
        ],
        // What the server says must come from the server; the app keeps its own copies.
        navigateFallbackDenylist: [/^\/api\//, /^\/taste(\/|$|\?)/],
        clientsClaim: true,
      },
    }),
  ],
  server: { proxy: { "/api": "http://127.0.0.1:4310" } },
  build: { target: "es2023", sourcemap: false, assetsInlineLimit: 0, chunkSizeWarningLimit: 700 },
});
