// Where a new passphrase comes from: a file, what systemd hands over, or a person at a terminal.
#pragma once

#include <expected>
#include <string>

namespace amphora::app {

/// The first line of the file. The error is a sentence.
[[nodiscard]] std::expected<std::string, std::string> passphrase_in(const std::string& file);

/// The file `passphrase` that systemd handed over with LoadCredential=; empty where there is none.
[[nodiscard]] std::string passphrase_credential();

/// Asks twice at the terminal, without showing what is typed, until both are the same and good. An error where there is
/// no terminal or the person breaks off.
[[nodiscard]] std::expected<std::string, std::string> ask_passphrase();

}  // namespace amphora::app
