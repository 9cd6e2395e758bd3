// How much a recorder writes to the device in a day: by the device's own counter, for several durability intervals.
#include <fmt/core.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>

#include "bench/record_peers.hpp"
#include "bench/record_signal.hpp"
#include "bench/stopwatch.hpp"
#include "io/record/writer.hpp"

namespace amphora::bench {
namespace {

constexpr std::int64_t begin_us = 1'704'067'200'000'000;

/// Bytes that the device of the folder has written so far (Documentation/block/stat: the seventh figure, in 512 bytes).
std::uint64_t written_by_device(const std::filesystem::path& folder) {
    ::sync();
    struct stat s{};
    ::stat(folder.c_str(), &s);
    std::ifstream in(fmt::format("/sys/dev/block/{}:{}/stat", major(s.st_dev), minor(s.st_dev)));
    std::uint64_t figure = 0;
    for (int i = 0; i < 7; ++i) in >> figure;
    if (!in) throw std::runtime_error("this folder's device has no counter");
    return figure * 512;
}

std::vector<Values> make_log(std::size_t readings) {
    Signal signal(plain_meter, 1);
    std::vector<Values> log(readings);
    for (auto& v : log) {
        const SignalStep step = signal.next();
        v = {step.value[0], step.value[1], step.value[2]};
    }
    return log;
}

void record_log(const std::filesystem::path& file, const std::vector<Values>& log, double interval) {
    record::WriterOptions options;
    options.durability = Second(interval);
    auto writer = record::Writer::open(file, options);
    if (!writer) throw std::runtime_error(writer.error().message);
    for (std::size_t i = 0; i < log.size(); ++i) {
        const auto taken =
            writer->append({Instant{begin_us + static_cast<std::int64_t>(i) * 1'000'000}, Ampere(log[i][0] / 100.0),
                            Volt(log[i][1] / 100.0), Celsius(log[i][2] / 10.0)});
        if (!taken) throw std::runtime_error(taken.error().message);
    }
}

/// Megabytes a day that the device wrote while `work` ran.
template <class Work>
double wear(const std::filesystem::path& folder, double days, Work work) {
    const auto before = written_by_device(folder);
    work();
    return static_cast<double>(written_by_device(folder) - before) / 1e6 / days;
}

}  // namespace
}  // namespace amphora::bench

int main(int argc, char** argv) {
    using namespace amphora::bench;
    CLI::App program("What a recorder writes to the device in a day");
    std::filesystem::path folder = std::filesystem::temp_directory_path();
    double days = 2.0;
    program.add_option("--folder", folder, "a folder on the device");
    program.add_option("--days", days, "how many days are recorded");
    CLI11_PARSE(program, argc, argv);
    const auto log = make_log(static_cast<std::size_t>(days * 86400.0));
    const auto file = folder / "wear";
    for (const double interval : {10.0, 60.0, 600.0}) {
        const double ours = wear(folder, days, [&] { record_log(file, log, interval); });
        for (const char* part : {"", "-wal", "-shm", "-tail"}) std::filesystem::remove(file.string() + part);
        const double rows = wear(folder, days, [&] { record_rows(file, log, static_cast<std::size_t>(interval)); });
        for (const char* part : {"", "-wal", "-shm"}) std::filesystem::remove(file.string() + part);
        fmt::print(
            "durable every {:>3.0f} s: {:>6.2f} MB a day; as SQLite rows {:>6.2f}; one page of 4 KiB each time "
            "{:>6.2f}\n",
            interval, ours, rows, 86400.0 / interval * 4096.0 / 1e6);
    }
    return 0;
}
