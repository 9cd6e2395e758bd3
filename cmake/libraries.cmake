# Every library from outside, in one place. All are Debian packages (scripts/install-packages lists them).
find_package(PkgConfig REQUIRED)
find_package(Threads REQUIRED)
find_package(fmt REQUIRED)
pkg_check_modules(CAIRO REQUIRED IMPORTED_TARGET cairo)
pkg_check_modules(TOMLPP REQUIRED IMPORTED_TARGET tomlplusplus)
pkg_check_modules(SQLITE REQUIRED IMPORTED_TARGET sqlite3)
pkg_check_modules(ZSTD REQUIRED IMPORTED_TARGET libzstd)
pkg_check_modules(MODBUS REQUIRED IMPORTED_TARGET libmodbus)
pkg_check_modules(MOSQUITTO REQUIRED IMPORTED_TARGET libmosquitto)
pkg_check_modules(GPIOD REQUIRED IMPORTED_TARGET libgpiod)
pkg_check_modules(CURL REQUIRED IMPORTED_TARGET libcurl)
pkg_check_modules(SODIUM REQUIRED IMPORTED_TARGET libsodium)
pkg_check_modules(QRENCODE REQUIRED IMPORTED_TARGET libqrencode)
find_package(OpenSSL REQUIRED)
find_package(ZLIB REQUIRED)
find_library(CCTZ_LIBRARY cctz REQUIRED)
find_package(CLI11 REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(Boost REQUIRED COMPONENTS system)

add_library(amphora_libraries INTERFACE)
target_link_libraries(amphora_libraries INTERFACE
    fmt::fmt PkgConfig::CAIRO PkgConfig::TOMLPP CLI11::CLI11 nlohmann_json::nlohmann_json Boost::system
    PkgConfig::SQLITE PkgConfig::ZSTD PkgConfig::MODBUS PkgConfig::MOSQUITTO PkgConfig::GPIOD PkgConfig::CURL
    PkgConfig::SODIUM PkgConfig::QRENCODE OpenSSL::SSL
    ZLIB::ZLIB ${CCTZ_LIBRARY} Threads::Threads)
