// A source that is asked for its figures every so often, and may take its time to answer: sysfs, Modbus, SunSpec.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <string>
#include <vector>

#include "io/live/plug_source.hpp"
#include "io/live/side_thread.hpp"

namespace amphora::live {

/// The raw figure of a channel, by its place in PlugSource::channels().
struct RawFigure {
    std::size_t channel = 0;
    double value = 0.0;
};

/// Why there was no answer.
struct NoAnswer {
    std::string why;
    bool lost = false;  // the connection is gone: no use to ask again at once
};

/// An answer; where some channel has no figure for a reason that a person must deal with, the reason.
struct Figures {
    std::vector<RawFigure> figures;
    std::string complaint;
};

using Answer = std::expected<Figures, NoAnswer>;

/// The device behind an asked source. Everything here runs in a side thread and may wait.
class Respondent {
public:
    Respondent() = default;
    Respondent(const Respondent&) = delete;
    Respondent& operator=(const Respondent&) = delete;
    virtual ~Respondent() = default;

    /// The figures of this moment; a channel that has none now is left out.
    virtual Answer ask() = 0;
    /// Lets go of the connection; the next ask() makes a new one.
    virtual void hang_up() = 0;
};

/// Asks its respondent every interval. Three questions without an answer in a row, or a lost connection, and it begins
/// anew after a pause.
class AskedSource final : public PlugSource {
public:
    /// Makes the respondent out of the channels of the source.
    using Maker = std::function<std::shared_ptr<Respondent>(const System&, const described::Source&,
                                                            const std::vector<PlugChannel>&)>;
    AskedSource(const SourceContext& context, const Maker& maker);

protected:
    void open() override;
    void close() override;

private:
    void ask();
    void answered(const Answer& answer, BootTime at);

    std::shared_ptr<Respondent> respondent_;
    SideThread thread_;
    bool asking_ = false;
    bool first_ = true;
    int unanswered_ = 0;
};

}  // namespace amphora::live
