// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/job/job.h"
#include "engine/shop/workshop.h"
#include "engine/trial/mends.h"
#include "engine/trial/pinned.h"

namespace spanwright::report {

/// One number (or text) of a row, for one case.
struct CaseFact {
    std::string label;
    std::optional<double> si; ///< nothing for texts and where there is no finite number
    std::string shown;
};

/// One row of a member, as the report needs it: nothing here is worked out, only gathered.
struct RowFact {
    job::QuantityView view;
    meaning::Kind kind = meaning::Kind::Derive;
    meaning::Type type = meaning::Type::Number;
    std::uint32_t part = 0;
    bool otherwise = false;
    std::string formula;                        ///< one line of plain text; empty without one
    std::string siUnit;                         ///< "kg·m²/s²", "1"
    std::optional<double> si;                   ///< without cases
    std::vector<CaseFact> cases;                ///< empty without axes; the last axis runs fastest
    std::vector<std::vector<std::string>> axes; ///< labels of each axis
    std::string letters;                        ///< only when wanted
    std::optional<job::Working> working;        ///< of the governing case; only when wanted
    std::optional<job::PlotView> plot;
    std::optional<job::SketchView> sketch;
    std::shared_ptr<const meaning::Table> table; ///< each, list
};

/// A part of a sheet in one member.
struct PartFact {
    std::string title;
    enum class Applies : std::uint8_t { Yes, No, Unknown } applies = Applies::Yes;
    std::string condition; ///< as plain text; empty: always
    bool hasOtherwise = false;
};

struct MemberFacts {
    job::MemberView view;
    std::vector<std::string> basis, cautions;
    std::vector<std::string> notes;        ///< that the job puts under the member
    std::vector<std::string> tableSources; ///< "en338: EN 338:2016 ...", each once
    std::vector<PartFact> parts;
    std::optional<trial::Mends> mends; ///< only when wanted, and only of a member that FAILS
    std::vector<RowFact> rows;         ///< in document order; same order as view.quantities
};

struct RemarkFact {
    std::string member, name, by, on, text;
    bool answer = false; ///< to the remark before it
};

/// A diagnostic with its places read.
struct DiagnosticFact {
    diag::Diagnostic diagnostic;
    std::optional<diag::Resolved> at;
    std::vector<std::optional<diag::Resolved>> labels; ///< as many as diagnostic.labels
};

/// Everything that is shown of a job, copied out of it: what is printed depends on this and on nothing
/// else, so tests can make one by hand.
struct JobFacts {
    std::string file; ///< as named on the command line
    bool singleSheet = false;
    job::Cover cover;
    std::string fingerprint;
    job::Verdict verdict = job::Verdict::NotProven;
    int exitStatus = 1;
    std::vector<MemberFacts> members;
    std::vector<job::TickView> ticks;
    std::vector<RemarkFact> remarks;
    std::vector<DiagnosticFact> diagnostics;
    std::size_t pinned = 0;                     ///< trials that the job keeps, wanted or not
    std::vector<trial::PinnedResult> trials;    ///< their answers; only when wanted
    std::shared_ptr<const shop::Workshop> shop; ///< pieces, plan, mass and cost; only when wanted
    std::vector<std::string> overrides;         ///< `--set` values in force, as typed: never left out of what is printed
};

/// What to gather beyond the members' views.
struct Want {
    bool rows = false;                 ///< formulas and values of all rows
    bool workings = false;             ///< implies rows; also letters, plots
    bool mends = false;                ///< what would make a failing member pass
    std::optional<std::size_t> member; ///< only this one
    bool trials = false;               ///< the job's pinned trials, worked out: they take their time
    bool shop = false;                 ///< what the workshop makes of the job: planning takes its time
    /// Asked now and then on the thread that gathers, with what is done and what there is; false gives up, and what comes back then is
    /// worth nothing. Trials and planning do not ask: whoever wants to end those works them out apart.
    std::function<bool(std::size_t done, std::size_t total)> goOn;
};

[[nodiscard]] JobFacts gather(const job::Job& job, const Want& want);

/// The editions a member follows: its sheet's basis rows joined by "; ", or words that say there are none.
[[nodiscard]] std::string editionsOf(const MemberFacts& m);
/// All editions of the job, each once, in the order of the members.
[[nodiscard]] std::vector<std::string> editionsOf(const JobFacts& f);

} // namespace spanwright::report
