// A certificate that this computer makes for itself, so that nobody in the same network reads along.
#pragma once

#include <chrono>
#include <expected>
#include <filesystem>
#include <string>
#include <vector>

#include "io/access/state.hpp"

namespace amphora::access {

/// What a server shows and how it proves that it may: both as PEM.
struct Certificate {
    std::string chain;
    std::string key;
    std::string fingerprint;  // SHA-256 of the certificate, as browsers show it: "AB:CD:..."
};

/// As long as browsers still take from a certificate that a person trusts by hand.
inline constexpr std::chrono::days certificate_lasts{820};

/// The certificate in this file, which only its owner can read. Where there is none, or it lapses within a month, one
/// is made: elliptic curve P-256, for these host names and addresses. What is no name or address is left out. The error
/// is a sentence.
[[nodiscard]] std::expected<Certificate, std::string> certificate_in(const std::filesystem::path& file,
                                                                     const std::vector<std::string>& names,
                                                                     const std::vector<std::string>& addresses,
                                                                     Moment now);

}  // namespace amphora::access
