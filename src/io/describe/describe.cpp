#include "io/describe/describe.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <system_error>
#include <tuple>

#include "io/describe/checks.hpp"
#include "io/describe/document.hpp"
#include "io/describe/draft.hpp"
#include "io/describe/reader.hpp"

namespace amphora::describe {
namespace {

using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

Mistakes whole_file(std::string message) { return {Mistake{0, 0, "", std::move(message)}}; }

Mistake too_long() { return {1, 1, "", fmt::format("expected at most {} bytes, found more", longest_description)}; }

std::string reason(int code) { return std::generic_category().message(code); }

// Another version may have other keys: then only the version is worth a word.
std::optional<Mistake> other_format(const Node& root) {
    for (const auto& member : std::get<Members>(root.value)) {
        const auto* version = std::get_if<std::int64_t>(&member.node.value);
        if (member.name != "format" || version == nullptr || *version == 1) continue;
        const auto& at = member.node.at;
        return Mistake{at.line, at.column, "format",
                       fmt::format("expected 1, the only format that this program reads, found {}", *version)};
    }
    return std::nullopt;
}

}  // namespace

std::expected<Described, Mistakes> describe_text(std::string_view text) {
    if (text.size() > longest_description) return std::unexpected(Mistakes{too_long()});
    const auto root = parse_document(text);
    if (!root) return std::unexpected(Mistakes{root.error()});
    if (auto other = other_format(*root)) return std::unexpected(Mistakes{std::move(*other)});
    Draft draft;
    read_given(draft, *root);
    fill_in(draft);
    check_together(draft);
    if (draft.mistakes.empty()) return Described{std::move(draft.system), std::move(draft.notes)};
    std::ranges::stable_sort(draft.mistakes, {}, [](const Mistake& m) { return std::pair(m.line, m.column); });
    return std::unexpected(std::move(draft.mistakes));
}

std::expected<Described, Mistakes> describe_file(const std::filesystem::path& file) {
    const File open(std::fopen(file.c_str(), "rbe"), &std::fclose);
    if (!open) return std::unexpected(whole_file(fmt::format("cannot be opened: {}", reason(errno))));
    std::string text(longest_description + 1, '\0');
    errno = 0;
    text.resize(std::fread(text.data(), 1, text.size(), open.get()));
    if (std::ferror(open.get()) != 0)
        return std::unexpected(whole_file(fmt::format("cannot be read: {}", reason(errno))));
    return describe_text(text);
}

}  // namespace amphora::describe
