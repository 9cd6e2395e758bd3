#include "io/web/host_list.hpp"

#include <algorithm>
#include <cctype>

namespace amphora::web {
namespace {

bool same(std::string_view a, std::string_view b) {
    return std::ranges::equal(a, b,
                              [](unsigned char x, unsigned char y) { return std::tolower(x) == std::tolower(y); });
}

bool is_port(std::string_view text) {
    return !text.empty() && text.size() <= 5 &&
           std::ranges::all_of(text, [](unsigned char c) { return std::isdigit(c) != 0; });
}

bool is(std::string_view host, std::string_view name) {
    if (host.size() < name.size() || !same(host.substr(0, name.size()), name)) return false;
    const std::string_view rest = host.substr(name.size());
    return rest.empty() || (rest.front() == ':' && is_port(rest.substr(1)));
}

}  // namespace

bool HostList::knows(std::string_view host) const {
    return std::ranges::any_of(names_, [host](const std::string& name) { return is(host, name); });
}

bool HostList::is_address(std::string_view host, std::string_view here) {
    if (here.empty()) return false;
    return here.contains(':') ? is(host, "[" + std::string(here) + "]") : is(host, here);
}

}  // namespace amphora::web
