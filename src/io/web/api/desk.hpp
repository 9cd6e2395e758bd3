// Everything that the interface at /api/v1 speaks for, and the list of its parts.
#pragma once

#include <filesystem>
#include <functional>

#include "io/web/api/description_file.hpp"
#include "io/web/api/live_values.hpp"
#include "io/web/api/past.hpp"
#include "io/web/api/recent.hpp"
#include "io/web/api/work.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

class EventChannel;
struct Entrance;

/// All of it is used from the server's thread only; all of it must outlive the server.
struct Desk {
    LiveValues& live;
    Past& past;
    DescriptionFile& description;
    Work& work;
    std::filesystem::path scratch;  // a folder of its own, for what is being imported and copied
    record::LocalDays days = record::LocalDays::utc();
    Entrance* entrance = nullptr;                         // null: nobody is asked to sign in
    std::function<void(const System&)> on_description{};  // called after another description was saved
    Recent recent{};
};

/// Adds every path of /api/v1. `docs/reference/openapi.json` describes them; a test compares.
void add_api(Routes& routes, Desk& desk, EventChannel& events);

/// To be called whenever the present is a newer one: keeps its reading for tests that a person is led through.
void keep_present(Desk& desk);

/// What is to be done now and then, about once a second: takes in what was recorded, and what ended.
void tend(Desk& desk);

}  // namespace amphora::web
