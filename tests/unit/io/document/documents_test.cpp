// The documents are written, are what their ending says, and say why they cannot be written.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "core/design/rules.hpp"
#include "io/document/book.hpp"
#include "io/document/budget_chart.hpp"
#include "io/document/diagram.hpp"
#include "io/document/flow.hpp"
#include "support/systems.hpp"

namespace amphora::document {
namespace {

namespace fs = std::filesystem;

class Documents : public testing::Test {
protected:
    Documents() { fs::create_directories(folder_); }
    ~Documents() override { fs::remove_all(folder_); }
    Documents(const Documents&) = delete;
    Documents& operator=(const Documents&) = delete;
    Documents(Documents&&) = delete;
    Documents& operator=(Documents&&) = delete;
    [[nodiscard]] fs::path file(const char* name) const { return folder_ / name; }
    static std::string text_of(const fs::path& path) {
        std::ifstream in(path, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }

private:
    fs::path folder_ = fs::path(testing::TempDir()) /
                       ("documents-" + std::string(testing::UnitTest::GetInstance()->current_test_info()->name()));
};

TEST_F(Documents, DiagramAsSvgAndPdf) {
    ASSERT_TRUE(write_diagram(design::clean_van(), Variant::meter_only, file("van.svg")));
    ASSERT_TRUE(write_diagram(design::clean_van(), Variant::cut_off, file("van.pdf")));
    EXPECT_NE(text_of(file("van.svg")).find("<svg"), std::string::npos);
    EXPECT_TRUE(text_of(file("van.pdf")).starts_with("%PDF"));
}

TEST_F(Documents, BookHasItsPages) {
    BookContent content;
    content.plan = design::clean_van();
    content.plan.circuits[3].negative = design::Negative::battery_post;
    content.system.battery = content.plan.bank.battery;
    content.findings = design::check(content.plan);
    content.budget = design::budget_of(content.plan);
    content.outcome = design::simulate(content.plan, {.draws = 64});
    ASSERT_FALSE(content.findings.empty());
    ASSERT_TRUE(write_book(content, file("van.pdf")));
    EXPECT_GT(fs::file_size(file("van.pdf")), 20000U);
}

TEST_F(Documents, SayWhyTheyCannotBeWritten) {
    const auto ending = write_diagram(design::clean_van(), Variant::meter_only, file("van.jpeg"));
    ASSERT_FALSE(ending);
    EXPECT_NE(ending.error().find(".svg"), std::string::npos);
    EXPECT_FALSE(write_diagram(design::clean_van(), Variant::meter_only, file("no/such/folder.svg")));
    EXPECT_FALSE(draw_budget(design::clean_van(), design::budget_of(design::clean_van()), file("no/such/folder.pdf")));
}

TEST(Flow, LinesFitTheirWidth) {
    const std::string text =
        "A sentence with a wordthatistoolongtofitontoanylineofsuchawidth and Wärmeübertragungsflächenverhältnis in it.";
    for (const double width : {12.0, 30.0, 80.0}) {
        std::string back;
        for (const std::string& line : wrapped(text, width, 3.0)) {
            EXPECT_LE(text_width(line, 3.0), width + 1e-6) << line;
            back += line;
        }
        std::string glued = text;
        std::erase(glued, ' ');
        std::erase(back, ' ');
        EXPECT_EQ(back, glued) << "nothing is lost";
    }
}

}  // namespace
}  // namespace amphora::document
