#include "io/source/rvc/messages.hpp"

#include <algorithm>
#include <array>

#include "io/source/rvc/fields.hpp"

namespace amphora::rvc {
namespace {

constexpr double seconds_per_minute = 60.0;

Message dc_source_1(const Fields& f, Instance instance) {
    return DcSource1{instance, f.byte(1).value_or(0), f.voltage(2), -f.fine_current(4)};
}

Message dc_source_2(const Fields& f, Instance instance) {
    const auto minutes = f.word(5);
    return DcSource2{instance,
                     f.byte(1).value_or(0),
                     f.fine_temperature(2),
                     f.share(4),
                     minutes ? Second(*minutes * seconds_per_minute) : Second::missing(),
                     f.bits(7, 0, 2) == 1};
}

Message dc_source_3(const Fields& f, Instance instance) {
    const auto remaining = f.word(3);
    const auto ripple = f.word(6);
    return DcSource3{instance,   f.byte(1).value_or(0),
                     f.share(2), remaining ? AmpHour(*remaining) : AmpHour::missing(),
                     f.share(5), ripple ? Volt(*ripple / 1000.0) : Volt::missing()};
}

std::optional<ChargerState> charger_state(std::optional<std::uint8_t> code) {
    if (!code || *code > static_cast<std::uint8_t>(ChargerState::constant)) return std::nullopt;
    return static_cast<ChargerState>(*code);
}

Message dc_source_4(const Fields& f, Instance instance) {
    return DcSource4{instance, f.byte(1).value_or(0), charger_state(f.byte(2)), f.voltage(3), f.current(5)};
}

// Bytes 6 and 7 held a rate of change in older texts and are deprecated in newer ones: left alone.
Message dc_source_5(const Fields& f, Instance instance) {
    return DcSource5{instance, f.byte(1).value_or(0), f.fine_voltage(2)};
}

// Of two bits 00 is no, 01 yes, 10 an error and 11 not available.
std::optional<bool> flag(const Fields& f, std::size_t at, unsigned first) {
    const auto code = f.bits(at, first, 2);
    if (!code || *code > 1) return std::nullopt;
    return *code == 1;
}

Message dc_source_6(const Fields& f, Instance instance) {
    return DcSource6{instance, f.byte(1).value_or(0), flag(f, 2, 0), flag(f, 2, 2), flag(f, 2, 4), flag(f, 2, 6)};
}

Message dc_disconnect(const Fields& f, Instance instance) { return DcDisconnect{instance, f.bits(1, 0, 2)}; }

Message charger_wish(const Fields& f, Instance instance, bool solar) {
    return ChargerWish{instance, solar, f.voltage(1), f.current(3), f.share(5), charger_state(f.byte(6))};
}

Message charger_output(const Fields& f, Instance instance) {
    return ChargerOutput{instance, false, f.byte(1), f.voltage(3), f.current(5), f.temperature(7)};
}

Message solar_output(const Fields& f, Instance instance) {
    return ChargerOutput{instance, true, {}, f.voltage(3), f.current(5), f.temperature(7)};
}

Message solar_array(const Fields& f, Instance instance) { return SolarArray{instance, f.voltage(1), f.current(3)}; }

Message dc_load(const Fields& f, Instance instance) { return DcLoad{instance, f.share(2), f.current(6)}; }

std::expected<Message, NoMessage> date_time(const Fields& f) {
    using namespace std::chrono;
    const auto year_in_century = f.byte(0);
    const auto hours_of_day = f.byte(4);
    const auto minutes_of_hour = f.byte(5);
    const auto seconds_of_minute = f.byte(6);
    if (!year_in_century || !hours_of_day || !minutes_of_hour || !seconds_of_minute)
        return std::unexpected(NoMessage::invalid);
    const year_month_day date{year(2000 + *year_in_century), month(f.byte(1).value_or(0)), day(f.byte(2).value_or(0))};
    if (!date.ok() || *hours_of_day > 23 || *minutes_of_hour > 59 || *seconds_of_minute > 60)
        return std::unexpected(NoMessage::invalid);
    return DateTime{date, hours(*hours_of_day) + minutes(*minutes_of_hour) + seconds(*seconds_of_minute)};
}

struct Group {
    Dgn dgn;
    std::string_view name;
    Message (*read)(const Fields&, Instance);  // none: the group has no instance
};

constexpr std::array<Group, 14> known{{
    {0x1FFFD, "DC source status 1", dc_source_1},
    {0x1FFFC, "DC source status 2", dc_source_2},
    {0x1FFFB, "DC source status 3", dc_source_3},
    {0x1FEC9, "DC source status 4", dc_source_4},
    {0x1FEC8, "DC source status 5", dc_source_5},
    {0x1FEC7, "DC source status 6", dc_source_6},
    {0x1FED0, "DC disconnect status", dc_disconnect},
    {0x1FFC7, "charger status", [](const Fields& f, Instance i) { return charger_wish(f, i, false); }},
    {0x1FEA3, "charger status 2", charger_output},
    {0x1FEB3, "solar controller status", [](const Fields& f, Instance i) { return charger_wish(f, i, true); }},
    {0x1FE80, "solar controller battery status", solar_output},
    {0x1FDFF, "solar array status", solar_array},
    {0x1FFBD, "DC load status", dc_load},
    {0x1FFFF, "date and time status", nullptr},
}};

}  // namespace

std::expected<Message, NoMessage> message_in(const CanFrame& frame) {
    if (!frame.extended || frame.kind != FrameKind::data) return std::unexpected(NoMessage::not_data);
    const auto dgn = identifier_of(frame.id).dgn;
    const auto group = std::ranges::find(known, dgn, &Group::dgn);
    if (group == known.end()) return std::unexpected(NoMessage::other_group);
    if (frame.length < 8) return std::unexpected(NoMessage::truncated);
    const Fields fields(frame.data());
    if (group->read == nullptr) return date_time(fields);
    const auto instance = fields.byte(0);
    if (!instance || *instance == 0) return std::unexpected(NoMessage::invalid);
    return group->read(fields, *instance);
}

std::vector<Dgn> known_groups() {
    std::vector<Dgn> groups;
    for (const auto& group : known) groups.push_back(group.dgn);
    return groups;
}

std::string_view name_of(Dgn dgn) {
    const auto group = std::ranges::find(known, dgn, &Group::dgn);
    return group == known.end() ? std::string_view{} : group->name;
}

}  // namespace amphora::rvc
