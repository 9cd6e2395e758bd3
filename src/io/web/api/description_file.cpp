#include "io/web/api/description_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <span>
#include <utility>
#include <vector>

#include "core/ledger/crc32c.hpp"
#include "io/sink/output_file.hpp"

namespace amphora::web {
namespace {

bool runs_something_new(const std::string& before, const System& after) {
    const auto described = describe::describe_text(before);
    const auto known = [&](const std::vector<std::string>& run) {
        return described && std::ranges::find(described->system.protection.guards, run, &described::Guard::run) !=
                                described->system.protection.guards.end();
    };
    return std::ranges::any_of(after.protection.guards,
                               [&](const described::Guard& g) { return !g.run.empty() && !known(g.run); });
}

}  // namespace

std::string DescriptionFile::text() const {
    std::ifstream in(file_, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string DescriptionFile::mark_of(std::string_view text) {
    const std::span bytes(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
    return fmt::format("{:08x}-{}", ledger::crc32c(bytes), text.size());
}

std::expected<describe::Described, SaveFault> DescriptionFile::save(const std::string& changed, std::string_view mark) {
    const std::string before = text();
    if (mark_of(before) != mark) {
        return std::unexpected(
            SaveFault{SaveFault::Kind::changed,
                      "The description was changed meanwhile, from elsewhere. Look at it as it is now, and make the "
                      "change again."});
    }
    auto described = describe::describe_text(changed);
    if (!described) {
        return std::unexpected(SaveFault{
            SaveFault::Kind::mistaken,
            fmt::format("There {} in it: nothing was saved.",
                        described.error().size() == 1 ? std::string("is a mistake")
                                                      : fmt::format("are {} mistakes", described.error().size()))});
    }
    if (runs_something_new(before, described->system))
        return std::unexpected(SaveFault{
            SaveFault::Kind::mistaken,
            fmt::format(
                "A guard would run a program that it does not run so far. Nothing was saved: whoever may use this "
                "page could run anything. Write it into {} itself, on that computer.",
                file_.string())});
    for (const auto& [name, content] :
         {std::pair{file_.string() + ".before", before}, std::pair{file_.string(), changed}})
        if (const auto written = sink::replace_file(name, content); !written)
            return std::unexpected(
                SaveFault{SaveFault::Kind::unwritable,
                          fmt::format("Nothing was saved. {}. Copy the text from here, put it into {} on that computer "
                                      "(sudoedit), and start the recorder anew.",
                                      written.error().message, file_.string())});
    return std::move(*described);
}

}  // namespace amphora::web
