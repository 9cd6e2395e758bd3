// The keys of [[source]] and [[source.channel]] that only one kind of device has: sysfs, Modbus, RV-C, MQTT.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::BusMessage;
using described::RegisterBank;
using described::RegisterType;
using described::WordOrder;

constexpr Words<RegisterBank, 2> banks{{{"holding", RegisterBank::holding}, {"input", RegisterBank::input}}};
constexpr Words<RegisterType, 5> types{{{"u16", RegisterType::u16},
                                        {"s16", RegisterType::s16},
                                        {"u32", RegisterType::u32},
                                        {"s32", RegisterType::s32},
                                        {"f32", RegisterType::f32}}};
constexpr Words<WordOrder, 4> orders{
    {{"abcd", WordOrder::abcd}, {"cdab", WordOrder::cdab}, {"badc", WordOrder::badc}, {"dcba", WordOrder::dcba}}};
constexpr Words<BusMessage, 5> messages{{{"dc-source", BusMessage::dc_source},
                                         {"charger", BusMessage::charger},
                                         {"solar", BusMessage::solar},
                                         {"solar-array", BusMessage::solar_array},
                                         {"load", BusMessage::load}}};

// A whole number that is negative where it is not given.
template <class Accessor>
Slot if_given(Accessor at) {
    return {[at](System& s, std::size_t i, const Value& v) {
                using T = std::remove_reference_t<decltype(at(s, i))>;
                at(s, i) = static_cast<T>(std::get<std::int64_t>(v));
            },
            [at](const System& s, std::size_t i) -> Value {
                if (at(s, i) < 0) return {};
                return std::int64_t{at(s, i)};
            }};
}

}  // namespace

std::vector<Key> device_keys() {
    Key root = text("root", "Of kinds iio and hwmon: where sysfs is.", "`\"/sys\"`",
                    kept([](auto& s, auto i) -> auto& { return s.live.sources[i].root; }));
    root.range = {1, 1000};
    return {
        whole("device", {1, 247}, "Of kinds modbus and sunspec: the device's number on its line, its unit identifier.",
              "1", kept([](auto& s, auto i) -> auto& { return s.live.sources[i].modbus.number; })),
        number("timeout_s", "s", {0.05, 30}, "Of kinds modbus and sunspec: how long to wait for an answer.", "0.5",
               measured([](auto& s, auto i) -> auto& { return s.live.sources[i].modbus.timeout; })),
        whole("bridge", {0, 100},
              "Of kind modbus: most registers between two wanted ones that are read along to save a request. Some "
              "devices refuse to be asked for registers that they do not have.",
              "0", kept([](auto& s, auto i) -> auto& { return s.live.sources[i].modbus.bridged; })),
        std::move(root),
        text("meter",
             "Of kinds iio and hwmon: the `[[meter]]` whose shunt the driver must reckon with; where it does not, its "
             "currents are refused.",
             "the first, for the battery's current",
             kept([](auto& s, auto i) -> auto& { return s.live.sources[i].meter; })),
    };
}

std::vector<Key> spot_keys() {
    constexpr auto spot = [](auto member) {
        return [member](auto& s, auto i) -> auto& { return s.live.channels[i].spot.*member; };
    };
    using R = described::Register;
    Key topic = text("topic", "Of kind mqtt: the topic, without wildcards.", "`at` of the source",
                     kept([](auto& s, auto i) -> auto& { return s.live.channels[i].topic; }));
    topic.range = {1, 1000};
    return {
        whole("address", {0, 65535},
              "Of kind modbus: the first register, counted from 0 as on the wire. Many lists count from 1, 30001 or "
              "40001.",
              "needed for modbus", if_given(spot(&R::address))),
        word("bank", banks, "Of kind modbus: which registers, read by function 3 or 4.", "holding", spot(&R::bank)),
        word("type", types, "Of kind modbus: unsigned or signed whole number of 16 or 32 bits, or a float of 32.",
             "u16", spot(&R::type)),
        word("order", orders,
             "Of kind modbus: order of a value's bytes, from the most significant: `abcd` high word first, `cdab` low "
             "word first, the others with the bytes of each word swapped.",
             "abcd", spot(&R::order)),
        whole("no_value", {0, 4'294'967'295.0},
              "Of kind modbus: the bits, as a whole number, with which the device says that it has no value: 32767, "
              "65535.",
              "none", if_given(spot(&R::no_value))),
        word("message", messages,
             "Of kind rvc: whose messages. `charger` and `solar` are what these measure at their output.", "dc-source",
             [](auto& s, auto i) -> auto& { return s.live.channels[i].message; }),
        whole("instance", {1, 250},
              "Of kind rvc: which device of its kind. DC source 1 is the main house bank, 2 the starter battery.", "1",
              kept([](auto& s, auto i) -> auto& { return s.live.channels[i].instance; })),
        std::move(topic),
    };
}

}  // namespace amphora::describe
