// amphora page: the page server, beside a recorder.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

/// For CLI11: empty when a page can be offered at this address, else what is wrong with it.
[[nodiscard]] std::string address_fault(const std::string& address);

Command page_command(CLI::App& program);

}  // namespace amphora::app
