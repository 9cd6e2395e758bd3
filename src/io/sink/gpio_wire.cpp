// A relay on a line of a GPIO chip, by libgpiod 1.6. Untested on hardware: the computers it was written on have none.
#include <fmt/format.h>
#include <gpiod.h>

#include <cerrno>
#include <memory>
#include <system_error>

#include "io/sink/relay.hpp"

namespace amphora::sink {
namespace {

constexpr const char* consumer = "amphora";

struct CloseChip {
    void operator()(gpiod_chip* chip) const { gpiod_chip_close(chip); }  // and gives its lines back
};
using Chip = std::unique_ptr<gpiod_chip, CloseChip>;

class GpioWire : public RelayWire {
public:
    explicit GpioWire(const described::Relay& relay) : relay_(relay) {}

    std::expected<void, std::string> put(bool on) override {
        if (!line_) return request(on);
        if (gpiod_line_set_value(line_, on ? 1 : 0) == 0) return {};
        return failed("cannot be set");
    }

    std::expected<std::optional<bool>, std::string> look() override {
        if (relay_.confirm_line < 0) return std::nullopt;
        if (!contact_) return std::unexpected("the contact is not read yet");
        const int value = gpiod_line_get_value(contact_);
        if (value < 0) return std::unexpected(failed("the contact cannot be read").error());
        return value == 1;
    }

private:
    // Asks for the line with its level in one call, so that the relay does not flicker.
    std::expected<void, std::string> request(bool on) {
        chip_.reset(gpiod_chip_open_lookup(relay_.at.c_str()));
        if (!chip_) return failed("cannot be opened");
        const int flags = relay_.active_low ? GPIOD_LINE_REQUEST_FLAG_ACTIVE_LOW : 0;
        auto* line = gpiod_chip_get_line(chip_.get(), static_cast<unsigned>(relay_.line));
        if (line == nullptr || gpiod_line_request_output_flags(line, consumer, flags, on ? 1 : 0) != 0)
            return failed(fmt::format("line {} is not to be had", relay_.line));
        if (relay_.confirm_line >= 0) {
            auto* contact = gpiod_chip_get_line(chip_.get(), static_cast<unsigned>(relay_.confirm_line));
            if (contact == nullptr || gpiod_line_request_input_flags(contact, consumer, flags) != 0)
                return failed(fmt::format("line {} is not to be had", relay_.confirm_line));
            contact_ = contact;
        }
        line_ = line;
        return {};
    }

    std::unexpected<std::string> failed(const std::string& what) {
        const int error = errno;
        line_ = contact_ = nullptr;
        chip_.reset();
        return std::unexpected(fmt::format("{}: {}: {}", relay_.at, what, std::generic_category().message(error)));
    }

    described::Relay relay_;
    Chip chip_;
    gpiod_line* line_ = nullptr;
    gpiod_line* contact_ = nullptr;
};

}  // namespace

std::unique_ptr<RelayWire> gpio_wire(const described::Relay& relay) { return std::make_unique<GpioWire>(relay); }

}  // namespace amphora::sink
