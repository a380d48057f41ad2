// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/report/document.h"
#include "engine/report/facts.h"

/// From facts to documents.
namespace spanwright::report {

struct CheckSettings {
    bool explain = false; ///< each check's note in plain words
};
/// What `check` prints: schedule; per member its checks, the governing first, then requires, what is
/// not stated, assumptions, differences from the ready sheet; cautions always.
[[nodiscard]] Document checkDocument(const JobFacts& f, const CheckSettings& settings);

/// One value and, behind it, those it comes from: `levels[0]` is the value asked for.
struct WorkingStep {
    job::Working working;
    unsigned level = 0; ///< 0: asked for; 1: it comes from this; ...
};
[[nodiscard]] Document workingDocument(const std::vector<WorkingStep>& steps, bool singleSheet);

/// What of the members is printed. Cover, cautions, schedule, assumptions and what is wrong always speak of the whole job,
/// and the cover says what was left out.
struct ReportScope {
    std::vector<std::size_t> members; ///< only these, in the job's order; empty: all
    bool brief = false;               ///< of each member its sketches, stated values and checks, without the calculation
};
/// The printable calculation. Needs facts gathered with workings.
[[nodiscard]] Document reportDocument(const JobFacts& f, const ReportScope& scope = {});

/// Parts of the above, one file each; see README.md for how to add one.
[[nodiscard]] Section coverSection(const JobFacts& f, const ReportScope& scope);
[[nodiscard]] Section contentsSection(const JobFacts& f, const ReportScope& scope);
/// Schedule, load path, assumptions, the tables that printed calculations read, what is wrong.
[[nodiscard]] Section basisSection(const JobFacts& f, const ReportScope& scope);
[[nodiscard]] Section memberSection(const JobFacts& f, std::size_t member);
/// What the job's pinned trials came to, each with the settings that made it.
[[nodiscard]] Section trialsSection(const JobFacts& f);
/// The brief form: all members one below the other.
[[nodiscard]] Section briefSection(const JobFacts& f, const ReportScope& scope);
/// True if the scope holds the member.
[[nodiscard]] bool holds(const ReportScope& scope, std::size_t member);
[[nodiscard]] Table scheduleTable(const JobFacts& f, bool withLinks);

/// Ids within the report: no text of a file ever enters one.
[[nodiscard]] std::string memberId(std::size_t member);
[[nodiscard]] std::string rowId(std::size_t member, std::size_t row);
/// The row of a name that has a line in the calculation; nothing if there is none.
[[nodiscard]] std::optional<std::size_t> rowNamed(const MemberFacts& m, std::string_view name);

/// A plot row as a drawing: axes with units, extremes labelled, one line kind per case.
[[nodiscard]] Drawing plotDrawing(const job::PlotView& plot);
/// What is marked in a plot besides its curves: stretches hatched, a level that matters, places with a word.
struct PlotMarks {
    struct Span {
        double from = 0.0, to = 0.0;
    };
    struct Line {
        double at = 0.0;
        std::string text;
        bool right = true; ///< the text stands to its right, where there is room
    };
    std::vector<Span> hatched;
    std::optional<double> level;
    std::vector<Line> lines;
};
[[nodiscard]] Drawing plotDrawing(const job::PlotView& plot, const PlotMarks& marks);
/// A sketch drawn to scale: hatching, line weights, dimensions; texts do not cover one another.
[[nodiscard]] Drawing sketchDrawing(const job::SketchView& sketch);
/// Which members carry which: boxes with marks, loads coming from above.
[[nodiscard]] Drawing loadPathDrawing(const JobFacts& f);
/// The same as an indented list, from what nothing rests on down to what carries all.
[[nodiscard]] Bullets loadPathList(const JobFacts& f);
/// True if any member takes something from another.
[[nodiscard]] bool hasLoadPath(const JobFacts& f);

} // namespace spanwright::report
