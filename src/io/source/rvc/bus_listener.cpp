#include "io/source/rvc/bus_listener.hpp"

#include <variant>

namespace amphora::rvc {
namespace {

using described::BusMessage;

// Three times the 500 ms between messages; no text says when the next in rank may take over.
constexpr Second speaker_is_gone(1.5);
// As long as millivolts come, the coarse voltage is left alone.
constexpr Second fine_voltage_lasts(5.0);

template <class... Cases>
struct Overloaded : Cases... {
    using Cases::operator()...;
};

struct Teller {
    const BusListener::Found& found;
    BusMessage message;
    int instance;

    template <class Q>
    void operator()(Measurand measures, Q quantity) const {
        if (quantity.known()) found({message, instance, measures, quantity.value()});
    }
};

}  // namespace

bool BusListener::believed(Instance instance, std::uint8_t address, std::uint8_t priority, BootTime at) {
    auto& speaker = speakers_.at(instance);
    const bool gone = !speaker || at - speaker->heard > speaker_is_gone;
    if (speaker && speaker->address == address) {
        speaker->heard = at;
        speaker->priority = priority;
        return true;
    }
    if (!gone && priority <= speaker->priority) return false;
    speaker = Speaker{address, priority, at, {}};
    return true;
}

std::expected<void, NoMessage> BusListener::take(const CanFrame& frame, BootTime at, const Found& found) {
    const auto message = message_in(frame);
    if (!message) return std::unexpected(message.error());
    const auto sender = identifier_of(frame.id).sender;
    const auto dc_source = [&](const auto& m) { return Teller{found, BusMessage::dc_source, m.instance}; };
    const auto heard = [&](const auto& m) { return believed(m.instance, sender, m.priority, at); };
    std::visit(
        Overloaded{[&](const DcSource1& m) {
                       if (!heard(m)) return;
                       const auto& fine = speakers_.at(m.instance)->fine_voltage;
                       const auto tell = dc_source(m);
                       tell(Measurand::current, m.current);
                       if (!fine || at - *fine > fine_voltage_lasts) tell(Measurand::voltage, m.voltage);
                   },
                   [&](const DcSource2& m) {
                       if (!heard(m)) return;
                       dc_source(m)(Measurand::temperature, m.temperature);
                       dc_source(m)(Measurand::state_of_charge, m.state_of_charge);
                   },
                   [&](const DcSource5& m) {
                       if (!heard(m) || !m.voltage.known()) return;
                       speakers_.at(m.instance)->fine_voltage = at;
                       dc_source(m)(Measurand::voltage, m.voltage);
                   },
                   [&](const ChargerOutput& m) {
                       const Teller tell{found, m.solar ? BusMessage::solar : BusMessage::charger, m.instance};
                       tell(Measurand::voltage, m.voltage);
                       tell(Measurand::current, m.current);
                       tell(Measurand::temperature, m.temperature);
                   },
                   [&](const SolarArray& m) {
                       const Teller tell{found, BusMessage::solar_array, m.instance};
                       tell(Measurand::voltage, m.voltage);
                       tell(Measurand::current, m.current);
                   },
                   [&](const DcLoad& m) { Teller{found, BusMessage::load, m.instance}(Measurand::current, m.current); },
                   [](const auto&) {}},  // understood, but nothing that a channel measures
        *message);
    return {};
}

}  // namespace amphora::rvc
