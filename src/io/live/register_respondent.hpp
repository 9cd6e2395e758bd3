// A Modbus device whose registers the description lists.
#pragma once

#include <memory>
#include <vector>

#include "io/live/asked_source.hpp"
#include "io/live/modbus_line.hpp"

namespace amphora::live {

class RegisterRespondent final : public Respondent {
public:
    RegisterRespondent(std::shared_ptr<ModbusLine> line, const described::Source& source,
                       const std::vector<PlugChannel>& channels);
    Answer ask() override;
    void hang_up() override {}  // the line is shared, and lets go by itself when it is lost

private:
    struct Wanted {
        std::size_t channel;
        described::Register how;
        modbus::RegisterPlace place;
    };

    std::shared_ptr<ModbusLine> line_;
    described::ModbusDevice device_;
    std::vector<Wanted> wanted_;
    std::vector<modbus::Request> requests_;
};

}  // namespace amphora::live
