#include "io/live/sysfs_respondent.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>
#include <utility>

#include "io/live/sysfs_reading.hpp"
#include "io/source/sysfs/device.hpp"
#include "io/source/sysfs/shunt_value.hpp"

namespace amphora::live {
namespace {

// The shunt that a driver should know of: the one that the source names, else the first that has a rated pair.
Meter shunt_of(const System& system, const described::Source& source) {
    const auto meter = std::ranges::find_if(system.meters, [&](const Meter& m) {
        return source.meter.empty() ? m.rated_current.known() : m.name == source.meter;
    });
    return meter == system.meters.end() ? Meter{} : *meter;
}

// The driver makes currents and powers of the drop by the shunt that it knows of.
bool rests_on_shunt(std::string_view file) {
    return file.starts_with("curr") || file.starts_with("power") || file.starts_with("in_current") ||
           file.starts_with("in_power");
}

}  // namespace

SysfsRespondent::SysfsRespondent(const System& system, const described::Source& source,
                                 const std::vector<PlugChannel>& channels)
    : kind_(source.kind),
      devices_(std::filesystem::path(source.root) /
               (kind_ == described::SourceKind::iio ? sysfs::iio_folder : sysfs::hwmon_folder)),
      name_(source.at),
      meter_(shunt_of(system, source)) {
    for (std::size_t i = 0; i < channels.size(); ++i) {
        const auto& channel = *channels[i].description;
        wanted_.push_back({i, channel.field, channel.measures});
        // Without a word on whose shunt it is, that of a charger's own amplifier is not known.
        const bool of_that_shunt = channel.of == Subject::battery || !source.meter.empty();
        checked_ = checked_ || (of_that_shunt && rests_on_shunt(channel.field));
    }
}

std::optional<std::string> SysfsRespondent::wrong_shunt() const {
    if (!checked_) return std::nullopt;
    const auto in_use = sysfs::shunt_in_use(folder_);
    return in_use ? sysfs::shunt_mismatch(folder_, *in_use, meter_) : std::nullopt;
}

Answer SysfsRespondent::ask() {
    std::error_code error;
    if (folder_.empty() || !std::filesystem::exists(folder_, error)) {
        const auto device = sysfs::find_device(devices_, name_);
        if (!device) return std::unexpected(NoAnswer{device.error(), true});
        folder_ = device->folder;
    }
    Figures answer;
    if (auto wrong = wrong_shunt()) answer.complaint = *std::move(wrong);
    for (const auto& wanted : wanted_) {
        if (!answer.complaint.empty() && rests_on_shunt(wanted.file)) continue;
        const auto value = sysfs_reading(folder_, kind_, wanted.file);
        if (!value) return std::unexpected(NoAnswer{value.error()});
        const bool drop = wanted.measures == Measurand::shunt_drop;  // of which channels expect millivolts
        answer.figures.push_back({wanted.channel, drop ? *value * 1000.0 : *value});
    }
    if (answer.figures.empty() && !answer.complaint.empty()) return std::unexpected(NoAnswer{answer.complaint, true});
    return answer;
}

}  // namespace amphora::live
