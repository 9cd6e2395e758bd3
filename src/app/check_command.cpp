#include "app/check_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>
#include <nlohmann/json.hpp>

#include "app/description.hpp"
#include "app/finding_text.hpp"
#include "app/plan_file.hpp"
#include "app/rules_page.hpp"
#include "app/shunt_table.hpp"
#include "app/terminal.hpp"
#include "app/understanding.hpp"
#include "core/design/caution.hpp"
#include "core/design/rules.hpp"
#include "io/describe/json.hpp"
#include "io/describe/reference_page.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

struct CheckOptions {
    std::string file;
    bool json = false;
    bool keys = false;
    bool rules = false;
};

Json as_json(const describe::Described& described) {
    Json assumed = Json::array();
    for (const auto& note : described.notes)
        assumed.push_back({{"path", note.path}, {"value", note.value}, {"why", note.why}});
    return {{"valid", true}, {"system", describe::to_json(described.system)}, {"assumed", assumed}};
}

Json as_json(const describe::Mistakes& mistakes, const std::string& file) {
    Json list = Json::array();
    for (const auto& m : mistakes)
        list.push_back(
            {{"file", file}, {"line", m.line}, {"column", m.column}, {"path", m.path}, {"message", m.message}});
    return {{"valid", false}, {"mistakes", list}};
}

void print(const Json& json) {
    // A file name or a text need not be UTF-8 in full: what is not is replaced.
    fmt::print("{}\n", json.dump(2, ' ', false, Json::error_handler_t::replace));
}

Exit check(const CheckOptions& options) {
    if (options.keys) {
        fmt::print("{}", describe::reference_page());
        return Exit::ok;
    }
    if (options.rules) {
        fmt::print("{}", rules_page());
        return Exit::ok;
    }
    const auto described = describe::describe_file(options.file);
    if (!described) {
        print_mistakes(described.error(), options.file);
        if (options.json) print(as_json(described.error(), options.file));
        return exit_for(described.error());
    }
    const auto plan = plan_from(described->system, options.file);
    if (!plan) return plan.error();
    const auto findings = design::check(*plan);
    if (options.json) {
        auto json = as_json(*described);
        json["findings"] = findings_json(findings);
        json.update(shunts_json(*plan));
        json["cautions"] = design::cautions_for(*plan);
        print(json);
        return Exit::ok;
    }
    fmt::print("{}", understanding(*described, may_colour(stdout)));
    fmt::print("\n{}{}", findings_text(findings, may_colour(stdout)), shunt_table(*plan));
    if (const std::string draws = measured_draws(*plan); !draws.empty()) fmt::print("\n{}", draws);
    fmt::print("\nKeep in mind\n{}", cautions(*plan));
    return Exit::ok;
}

}  // namespace

Command check_command(CLI::App& program) {
    auto& command =
        add_command(program, "check", "Read a description of a system, say what was understood, check the design",
                    {"amphora check van.toml          # every mistake, or a summary and what was assumed",
                     "amphora check van.toml --json   # the same for a machine",
                     "amphora check --keys            # all that may stand in a description",
                     "amphora check --rules           # all that is checked, with limits and sources"});
    auto options = std::make_shared<CheckOptions>();
    auto* file = add_description_option(command, options->file);
    command.add_flag("--json", options->json, "result as JSON on stdout");
    auto* keys = command.add_flag("--keys", options->keys, "print the reference of all keys (Markdown) instead");
    auto* rules = command.add_flag("--rules", options->rules, "print the reference of all rules (Markdown) instead");
    keys->excludes(file);
    rules->excludes(file)->excludes(keys);
    command.final_callback([file, keys, rules] {
        if (file->count() == 0 && keys->count() == 0 && rules->count() == 0) throw CLI::RequiredError("--system");
    });
    return {&command, [options] { return check(*options); }};
}

}  // namespace amphora::app
