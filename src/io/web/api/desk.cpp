#include "io/web/api/desk.hpp"

#include "io/web/api/access_api.hpp"
#include "io/web/api/appliance_api.hpp"
#include "io/web/api/description_api.hpp"
#include "io/web/api/guard_trial.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/api/past_api.hpp"
#include "io/web/api/record_api.hpp"
#include "io/web/api/standing_api.hpp"
#include "io/web/api/trial_api.hpp"
#include "io/web/api/why_api.hpp"
#include "io/web/entrance.hpp"

namespace amphora::web {

void add_api(Routes& routes, Desk& desk, EventChannel& events) {
    add_now_api(routes, desk, events);
    add_past_api(routes, desk);
    add_why_api(routes, desk);
    add_appliance_api(routes, desk);
    add_trial_api(routes, desk);
    add_description_api(routes, desk);
    add_standing_api(routes, desk);
    add_guard_trial_api(routes, desk);
    add_record_api(routes, desk);
    add_access_api(routes, desk);
}

void keep_present(Desk& desk) {
    if (const auto present = desk.live.present())
        desk.recent.push({present->estimate.at, present->estimate.current, present->estimate.voltage,
                          present->estimate.temperature});
}

void tend(Desk& desk) {
    desk.work.collect();
    if (desk.entrance != nullptr) desk.entrance->visitors.tend();
    (void)desk.past.refresh();  // what is wrong is said to whoever asks for the past
}

}  // namespace amphora::web
