// A device of hwmon or IIO, as Linux shows it below /sys.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/system/system.hpp"
#include "io/live/asked_source.hpp"

namespace amphora::live {

class SysfsRespondent final : public Respondent {
public:
    SysfsRespondent(const System& system, const described::Source& source, const std::vector<PlugChannel>& channels);
    Answer ask() override;
    void hang_up() override { folder_.clear(); }

private:
    struct Wanted {
        std::size_t channel;
        std::string file;
        Measurand measures;
    };

    [[nodiscard]] std::optional<std::string> wrong_shunt() const;

    described::SourceKind kind_;
    std::filesystem::path devices_;
    std::string name_;
    Meter meter_;  // whose shunt the driver must reckon with
    std::vector<Wanted> wanted_;
    bool checked_ = false;          // that the driver reckons with it
    std::filesystem::path folder_;  // of the device; empty until it is found
};

}  // namespace amphora::live
