// The file of who may come in. Several processes may change it; each change is made under a lock, whole or not at all.
#pragma once

#include <cstdint>
#include <expected>
#include <filesystem>
#include <functional>
#include <string>

#include "io/access/state.hpp"

namespace amphora::access {

enum class StateFault : std::uint8_t { unreadable, damaged, unwritable };

struct StateError {
    StateFault fault;
    std::string message;  // what, where and what to do
};

/// Tells one content of the file from another without reading it.
struct FileMark {
    std::uint64_t inode = 0;  // 0: there is no file
    std::int64_t changed_ns = 0;
    std::uint64_t bytes = 0;
    bool operator==(const FileMark&) const = default;
};

class StateFile {
public:
    explicit StateFile(std::filesystem::path path) : path_(std::move(path)) {}

    /// What is kept; nothing at all where there is no file yet.
    [[nodiscard]] std::expected<State, StateError> read() const;

    /// Reads, lets `how` change it, and writes it if that says true. Gives what stands there now. Only the owner may
    /// read the file: who made it, or where root did, the owner of the folder.
    std::expected<State, StateError> change(const std::function<bool(State&)>& how) const;

    [[nodiscard]] FileMark mark() const;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

}  // namespace amphora::access
