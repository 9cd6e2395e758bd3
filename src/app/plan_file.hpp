// From a description's file to a plan, the weather file read where one is named.
#pragma once

#include <expected>
#include <string>

#include "app/exit.hpp"
#include "core/design/plan.hpp"

namespace amphora::app {

/// The plan of a description that is already read; a weather file that it names is looked for beside `file`.
[[nodiscard]] std::expected<design::Plan, Exit> plan_from(const System& system, const std::string& file);

/// The plan in `file`; or, what is wrong with it said on stderr, the code to exit with.
[[nodiscard]] std::expected<design::Plan, Exit> open_plan(const std::string& file);

/// The same, of a plan in which something draws: without an [[appliance]] there is nothing to reckon with.
[[nodiscard]] std::expected<design::Plan, Exit> open_plan_with_loads(const std::string& file);

/// Which appliances the plan knows by a draw test, as one line with its end; empty where there is none.
[[nodiscard]] std::string measured_draws(const design::Plan& plan);

/// The cautions that go with every result of the plan, one a line, without a leading blank.
[[nodiscard]] std::string cautions(const design::Plan& plan);

}  // namespace amphora::app
