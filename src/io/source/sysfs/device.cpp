#include "io/source/sysfs/device.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <system_error>

#include "io/source/sysfs/number_file.hpp"

namespace amphora::sysfs {
namespace {

namespace fs = std::filesystem;

// The last part of the "device" link's target. IIO devices have no such link; they lie inside their bus device.
std::string address_of(const fs::path& folder) {
    std::error_code error;
    if (const auto link = fs::read_symlink(folder / "device", error); !error) return link.filename().string();
    if (const auto link = fs::read_symlink(folder, error); !error) return link.parent_path().filename().string();
    return {};
}

}  // namespace

std::vector<Device> devices(const fs::path& folder) {
    std::vector<Device> found;
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error)) {
        auto name = read_text(entry->path() / "name");
        if (name && !name->empty()) found.push_back({entry->path(), *std::move(name), address_of(entry->path())});
    }
    std::ranges::sort(found, {}, &Device::folder);
    return found;
}

std::expected<Device, std::string> find_device(const fs::path& folder, std::string_view wanted) {
    const auto at = wanted.rfind('@');
    const auto name = wanted.substr(0, at);
    std::vector<Device> matching;
    std::vector<std::string> others;
    for (auto& device : devices(folder)) {
        const bool meant =
            device.name == name && (at == std::string_view::npos || device.address == wanted.substr(at + 1));
        (meant ? (void)matching.push_back(device) : (void)others.push_back(title(device)));
    }
    if (matching.size() == 1) return matching.front();
    if (matching.empty())
        return std::unexpected(
            fmt::format("no device \"{}\" in {}; {}", wanted, folder.string(),
                        others.empty() ? "none is there" : fmt::format("there is {}", fmt::join(others, ", "))));
    return std::unexpected(fmt::format("{} devices \"{}\" in {}; expected one: say NAME@ADDRESS, such as \"{}\"",
                                       matching.size(), wanted, folder.string(), title(matching.front())));
}

std::string title(const Device& device) {
    return device.address.empty() ? device.name : fmt::format("{}@{}", device.name, device.address);
}

}  // namespace amphora::sysfs
