// Modbus application protocol specification V1.1b3 (Modbus Organization, 2012), the worked examples of 6.3 and 6.4; and
// IEEE 754 binary32 in the four orders that devices use, with the value and the bytes of libmodbus' own tests
// (tests/unit-test.h, 123456.0 as 47 F1 20 00). Both from memory; the bytes follow from IEEE 754 itself.
#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "io/source/modbus/register_value.hpp"

namespace amphora::modbus {
namespace {

using described::Register;

std::optional<double> read(std::initializer_list<Word> words, RegisterType type, WordOrder order = WordOrder::abcd,
                           std::int64_t no_value = -1) {
    const std::vector<Word> list(words);
    return number_in(list, Register{.address = 0, .type = type, .order = order, .no_value = no_value});
}

TEST(ModbusProtocol, HoldingRegisters108To110) {  // 6.3: 02 2B 00 00 00 64 are 555, 0 and 100
    EXPECT_EQ(read({0x022B}, RegisterType::u16), 555.0);
    EXPECT_EQ(read({0x0000}, RegisterType::u16), 0.0);
    EXPECT_EQ(read({0x0064}, RegisterType::u16), 100.0);
}

TEST(ModbusProtocol, InputRegister9) { EXPECT_EQ(read({0x000A}, RegisterType::u16), 10.0); }  // 6.4

TEST(ModbusProtocol, FloatInEachOrder) {
    EXPECT_EQ(read({0x47F1, 0x2000}, RegisterType::f32, WordOrder::abcd), 123456.0);
    EXPECT_EQ(read({0x2000, 0x47F1}, RegisterType::f32, WordOrder::cdab), 123456.0);
    EXPECT_EQ(read({0xF147, 0x0020}, RegisterType::f32, WordOrder::badc), 123456.0);
    EXPECT_EQ(read({0x0020, 0xF147}, RegisterType::f32, WordOrder::dcba), 123456.0);
}

// 13.2512 in binary32 is 415404EAh, where the library's own setter and getter disagree.
TEST(ModbusProtocol, AFloatThatTheLibraryMixesUp) {
    EXPECT_FLOAT_EQ(static_cast<float>(*read({0x4154, 0x04EA}, RegisterType::f32)), 13.2512F);
    EXPECT_FLOAT_EQ(static_cast<float>(*read({0x04EA, 0x4154}, RegisterType::f32, WordOrder::cdab)), 13.2512F);
}

TEST(ModbusProtocol, IntegersInEachOrder) {
    constexpr double value = 0x0001'86A0;  // 100 000
    EXPECT_EQ(read({0x0001, 0x86A0}, RegisterType::u32, WordOrder::abcd), value);
    EXPECT_EQ(read({0x86A0, 0x0001}, RegisterType::u32, WordOrder::cdab), value);
    EXPECT_EQ(read({0x0100, 0xA086}, RegisterType::u32, WordOrder::badc), value);
    EXPECT_EQ(read({0xA086, 0x0100}, RegisterType::u32, WordOrder::dcba), value);
}

TEST(ModbusProtocol, SignsAreTwosComplement) {
    EXPECT_EQ(read({0xFFFF}, RegisterType::s16), -1.0);
    EXPECT_EQ(read({0x8000}, RegisterType::s16), -32768.0);
    EXPECT_EQ(read({0xFFFF, 0xFFFE}, RegisterType::s32), -2.0);
    EXPECT_EQ(read({0x8000, 0x0000}, RegisterType::s32), -2147483648.0);
    EXPECT_EQ(read({0xFFFF, 0xFFFF}, RegisterType::u32), 4294967295.0);
}

TEST(ModbusProtocol, ABytewiseSwappedSingleRegister) {
    EXPECT_EQ(read({0x2B02}, RegisterType::u16, WordOrder::badc), 555.0);
    EXPECT_EQ(read({0x022B}, RegisterType::u16, WordOrder::cdab), 555.0) << "one word has no order";
}

TEST(ModbusProtocol, TheDevicesCodeForNoValueIsNone) {
    EXPECT_EQ(read({0x7FFF}, RegisterType::s16, WordOrder::abcd, 0x7FFF), std::nullopt);
    EXPECT_EQ(read({0x7FFE}, RegisterType::s16, WordOrder::abcd, 0x7FFF), 32766.0);
    EXPECT_EQ(read({0xFFFF, 0xFFFF}, RegisterType::u32, WordOrder::cdab, 0xFFFF'FFFF), std::nullopt);
    EXPECT_EQ(read({0x0000}, RegisterType::u16, WordOrder::abcd, 0), std::nullopt);
}

TEST(ModbusProtocol, AFloatThatIsNoNumberIsNone) {
    EXPECT_EQ(read({0x7FC0, 0x0000}, RegisterType::f32), std::nullopt);  // quiet NaN
    EXPECT_EQ(read({0xFF80, 0x0000}, RegisterType::f32), std::nullopt);  // minus infinity
}

TEST(ModbusProtocol, HalfAValueIsNone) {
    EXPECT_EQ(read({0x0001}, RegisterType::u32), std::nullopt);
    EXPECT_EQ(read({}, RegisterType::u16), std::nullopt);
}

}  // namespace
}  // namespace amphora::modbus
