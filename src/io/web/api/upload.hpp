// A log on its way into the record: looked at first, then sent in pieces, then taken in.
#pragma once

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "io/intake/mapping.hpp"
#include "io/record/derive.hpp"
#include "io/web/api/work.hpp"
#include "io/web/message.hpp"

namespace amphora::web {

constexpr std::size_t preview_bytes = std::size_t{256} * 1024;
constexpr std::size_t piece_bytes = std::size_t{1} << 20U;
constexpr std::uint64_t largest_log = std::uint64_t{2} << 30U;

/// How the beginning of a log would be read: the mapping, the first readings, what is doubtful. Changes nothing.
[[nodiscard]] Response preview(std::string_view beginning, const System& system, const std::string& zone);

/// A log that has been sent in full.
struct SentLog {
    std::filesystem::path file;
    std::string name;  // as the person calls it
    intake::Mapping mapping;
};

/// One upload at a time; another one that begins takes its place.
class Upload {
public:
    /// Keeps what is sent in this folder, each log in a file of its own: the one before may still be taken in.
    explicit Upload(std::filesystem::path folder) : folder_(std::move(folder)) {}

    Response begin(const Request& request);
    Response piece(const Request& request);
    [[nodiscard]] bool is(std::string_view id) const { return !id_.empty() && id == id_; }
    /// The end of it: what was sent.
    SentLog close();

private:
    std::filesystem::path folder_;
    std::filesystem::path spool_;  // of the upload that is going on
    std::ofstream out_;
    std::string id_;
    std::string name_;
    intake::Mapping mapping_;
    std::uint64_t size_ = 0;
    unsigned begun_ = 0;
};

/// Adds the log's readings to the record, and derives again. What is there already is not added twice. The log's file
/// is removed.
Outcome take_in(const SentLog& log, const std::filesystem::path& record, const record::Origin& origin,
                const record::LocalDays& days, const Tell& tell);

}  // namespace amphora::web
