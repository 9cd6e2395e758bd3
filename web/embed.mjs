// usage: node embed.mjs DIST FOLDER: writes FOLDER/page_files_data.cpp, which holds every file of DIST, and beside it
// the gzipped form of each file that gets smaller by it.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { extname, join, relative, resolve } from "node:path";
import { gzipSync } from "node:zlib";

const [dist, folder] = process.argv.slice(2).map((path) => resolve(path));
const squeezed = join(folder, "gzip");

const types = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
};

function filesBelow(place) {
    return readdirSync(place, { withFileTypes: true })
        .sort((a, b) => (a.name < b.name ? -1 : 1))
        .flatMap((entry) => (entry.isDirectory() ? filesBelow(join(place, entry.name)) : [join(place, entry.name)]));
}

const text = (string) => JSON.stringify(string); // a C++ string literal too, for the plain ASCII that stands in these

rmSync(squeezed, { recursive: true, force: true });
mkdirSync(squeezed, { recursive: true });
const blocks = [];
const rows = [];

function hold(name, path) {
    blocks.push(`__asm__(".pushsection .rodata\\n.global ${name}\\n${name}:\\n.incbin \\"${path}\\"\\n"
        ".global ${name}_end\\n${name}_end:\\n.popsection\\n");
extern "C" const char ${name}[], ${name}_end[];`);
    return `std::string_view(${name}, static_cast<std::size_t>(${name}_end - ${name}))`;
}

filesBelow(dist).forEach((path, number) => {
    const name = relative(dist, path);
    const type = types[extname(path)];
    if (type === undefined) throw new Error(`${name}: no media type is known for this kind of file`);
    const bytes = readFileSync(path);
    const small = gzipSync(bytes, { level: 9 });
    let gzipped = "{}";
    if (small.length < bytes.length * 0.95) {
        const place = join(squeezed, `${number}.gz`);
        writeFileSync(place, small);
        gzipped = hold(`amphora_page_${number}_gzip`, place);
    }
    const tag = `"${createHash("sha256").update(bytes).digest("hex").slice(0, 16)}"`;
    rows.push(`        {${text(name === "index.html" ? "/" : `/${name}`)}, ${text(type)}, ${text(tag)}, ${name.startsWith("assets/")},
         ${hold(`amphora_page_${number}`, path)},
         ${gzipped}},`);
});

writeFileSync(
    join(folder, "page_files_data.cpp"),
    `// Made by web/embed.mjs from the built page.
#include "io/web/page_files.hpp"

${blocks.join("\n")}

namespace amphora::web {

std::span<const PageFile> page_files() {
    static const PageFile files[] = {
${rows.join("\n")}
    };
    return files;
}

}  // namespace amphora::web
`,
);
