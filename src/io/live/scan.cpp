#include "io/live/scan.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <system_error>

#include "io/live/sysfs_reading.hpp"
#include "io/source/sysfs/attribute.hpp"
#include "io/source/sysfs/device.hpp"
#include "io/source/sysfs/number_file.hpp"

namespace amphora::live {
namespace {

namespace fs = std::filesystem;
using described::SourceKind;

std::vector<fs::path> entries(const fs::path& folder) {
    std::vector<fs::path> all;
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error))
        all.push_back(entry->path());
    std::ranges::sort(all);
    return all;
}

std::vector<OfferedReading> offers_of(const fs::path& device, SourceKind kind) {
    std::vector<OfferedReading> offers;
    for (const auto& file : entries(device)) {
        const auto name = file.filename().string();
        const auto physical = physical_of(kind, name);
        if (!physical) continue;
        const auto value = sysfs_reading(device, kind, name);
        offers.push_back({name, std::string(sysfs::unit_of(*physical)), value ? std::optional(*value) : std::nullopt});
    }
    return offers;
}

void add_sysfs(std::vector<FoundSource>& found, const fs::path& folder, SourceKind kind) {
    const auto devices = sysfs::devices(folder);
    for (const auto& device : devices) {
        auto offers = offers_of(device.folder, kind);
        if (offers.empty()) continue;
        const auto same_name = std::ranges::count(devices, device.name, &sysfs::Device::name);
        found.push_back({kind, same_name > 1 ? title(device) : device.name, std::move(offers), {}});
    }
}

std::string serial_remark(const fs::path& device, const fs::path& target) {
    std::string remark = target == device ? "" : target.string();
    if (::access(device.c_str(), R_OK | W_OK) == 0) return remark;
    return remark + (remark.empty() ? "" : "; ") + "no permission: the group of the device is usually dialout";
}

// Names below by-id stay the same whichever plug comes first; other devices are listed if they have no such name.
void add_serial(std::vector<FoundSource>& found, const fs::path& dev) {
    std::vector<fs::path> named;
    for (const auto& link : entries(dev / "serial/by-id")) {
        std::error_code error;
        const auto target = fs::canonical(link, error);
        if (error) continue;
        named.push_back(target);
        found.push_back({SourceKind::serial, link.string(), {}, serial_remark(link, target)});
    }
    constexpr std::array<std::string_view, 4> prefixes{"ttyUSB", "ttyACM", "ttyAMA", "ttyO"};
    for (const auto& device : entries(dev)) {
        const auto name = device.filename().string();
        const bool serial = std::ranges::any_of(prefixes, [&](std::string_view p) { return name.starts_with(p); });
        if (serial && std::ranges::find(named, device) == named.end())
            found.push_back({SourceKind::serial, device.string(), {}, serial_remark(device, device)});
    }
}

// ARPHRD_CAN of linux/if_arp.h.
constexpr double hardware_type_of_can = 280.0;

void add_can(std::vector<FoundSource>& found, const fs::path& interfaces) {
    for (const auto& interface : entries(interfaces)) {
        if (sysfs::read_number(interface / "type") != hardware_type_of_can) continue;
        const auto name = interface.filename().string();
        const auto state = sysfs::read_text(interface / "operstate").value_or("unknown");
        found.push_back({SourceKind::rvc,
                         name,
                         {},
                         state != "down"
                             ? state
                             : fmt::format("down; ip link set {} up type can bitrate 250000 listen-only on", name)});
    }
}

bool names_device(const FoundSource& found, std::string_view at) {
    return found.at == at || at.substr(0, at.rfind('@')) == found.at;
}

}  // namespace

std::vector<FoundSource> scan(const fs::path& root) {
    std::vector<FoundSource> found;
    add_sysfs(found, root / "sys" / sysfs::hwmon_folder, SourceKind::hwmon);
    add_sysfs(found, root / "sys" / sysfs::iio_folder, SourceKind::iio);
    add_serial(found, root / "dev");
    add_can(found, root / "sys/class/net");
    return found;
}

std::string missing(const described::Source& source, const std::vector<FoundSource>& found, const fs::path& root) {
    const auto is_found = [&](SourceKind kind) {
        return std::ranges::any_of(found,
                                   [&](const FoundSource& f) { return f.kind == kind && names_device(f, source.at); });
    };
    std::error_code error;
    const auto file_is_there = [&] { return fs::exists(root / fs::path(source.at).relative_path(), error); };
    switch (source.kind) {
        case SourceKind::hwmon:
        case SourceKind::iio:
            return is_found(source.kind) ? "" : "no such device";
        case SourceKind::serial:
        case SourceKind::modbus:
        case SourceKind::sunspec:
            return !source.at.starts_with('/') || file_is_there() ? "" : "no such file";
        case SourceKind::rvc:
            if (source.at == "-") return "";
            if (source.at.find('/') == std::string::npos) return is_found(source.kind) ? "" : "no such interface";
            return file_is_there() ? "" : "no such file";
        case SourceKind::tcp:
        case SourceKind::standard_input:
        case SourceKind::twin:
        case SourceKind::mqtt:
            break;
    }
    return "";
}

}  // namespace amphora::live
