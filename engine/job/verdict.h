// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/diag/diagnostic.h"
#include "engine/eval/value.h"
#include "engine/meaning/sheet.h"
#include "engine/meaning/typeset.h"

namespace spanwright::job {

/// Verdicts, from best to worst. Nothing that is unknown is ever Ok.
enum class Verdict : std::uint8_t { Ok, NotProven, Fails, NotComputed };
/// "OK", "NOT PROVEN", "FAILS", "NOT COMPUTED".
[[nodiscard]] std::string_view verdictText(Verdict v);

/// How one check or require came out.
struct CheckView {
    meaning::QuantityId id;
    enum class State : std::uint8_t { Passes, Fails, NotProven, NotComputed, NotApplicable } state = State::NotComputed;
    bool isRequire = false;
    std::string name, what, source, note;
    std::string reason; ///< in words, unless Passes
    /// Demand over capacity of the governing case; nothing when it has none (require, not computed, capacity <= 0).
    std::optional<double> utilisation;
    std::size_t governingCase = 0;
    std::string governingLabel; ///< "uls 2"; empty without cases
    struct Case {
        std::string label;
        double left = 0, right = 0;
        std::optional<double> utilisation;
        State state = State::NotComputed;
    };
    std::vector<Case> cases;           ///< SI
    std::string leftShown, rightShown; ///< governing case with units
};

/// An assumption: a default that the job did not state, or an `assume` row.
struct Assumption {
    meaning::QuantityId id;        ///< invalid for an `assume` row
    std::string name, what, shown; ///< shown: "400 mm"; for an assume row: its text
};

/// One row as shown.
struct QuantityView {
    meaning::QuantityId id;
    std::string name, what, source, note;
    eval::State state = eval::State::Blocked;
    bool stated = false;     ///< by the job
    bool assumed = false;    ///< default used
    bool overridden = false; ///< by `--set`
    std::string statedText;  ///< as in the job: "3.6 m", "J1.R_G/J1.s"
    std::string statedFrom;  ///< where it comes from, as the job says behind it: "snow map, zone 2"
    std::string shown;       ///< "2.106 kN·m", "C24", "yes"; with cases: the governing (largest magnitude)
                             ///< one; of a check its utilisation; "" for beams, plots, pieces
    std::string unitShown;
    std::string reason;                 ///< why there is no value
    std::optional<std::uint32_t> tick;  ///< index into Job::ticks()
    std::vector<std::uint32_t> remarks; ///< indices into Job::remarks()
};

struct MemberView {
    std::string mark, purpose, sheetName, sheetTitle;
    std::uint32_t row = 0; ///< in the job document; 0 for a single sheet
    double count = 1;
    std::string insteadOf; ///< mark: an alternative to that member, checked but not built; empty: it is built
    Verdict verdict = Verdict::NotComputed;
    std::vector<std::string> reasons;     ///< why it is not OK, in words, first the weightiest
    std::vector<CheckView> checks;        ///< governing first, then as they stand
    std::optional<std::size_t> governing; ///< index into checks
    std::vector<QuantityView> quantities; ///< one for every quantity of the sheet, by QuantityId
    std::vector<std::string> notStated;   ///< names of asks
    std::vector<Assumption> assumptions;
    std::vector<std::string> feedsMembers, readsMembers; ///< marks: the load path
    /// Rows that differ from the ready sheet that this one is a copy of ("changed: M_d", "taken out: bending").
    std::vector<std::string> differs;
    std::string copyOf;                              ///< the ready sheet's name; empty: the member's sheet is no copy
    std::vector<std::string> lostChecks;             ///< checks of the ready sheet that no longer check, in words
    std::vector<std::string> addedRows, changedRows; ///< names of rows, as in `differs`
    std::string sectionShown, spanShown;             ///< for the schedule; empty if the sheet names none
};

/// A part to cut, worked out for one member: SI numbers.
struct PieceView {
    std::string name, what;
    std::string label; ///< of the each row that it stands for: "2"; empty without
    diag::Place place; ///< the row in its sheet
    double count = 0.0;
    double thickness = 0.0, breadth = 0.0, breadthEnd = 0.0, length = 0.0; ///< breadthEnd == breadth: a rectangle
    std::string material;                                                  ///< what it is cut from: "C24", "birch 12"
    using Grain = meaning::PieceDefinition::Grain;
    Grain grain = Grain::Along;    ///< never Chosen
    std::optional<double> density; ///< kg/m³
    std::string densitySource;     ///< "rho_mean of C24"; the sheet's own words
    std::optional<double> deep;    ///< m: how deep its grooves are
    std::optional<double> at;      ///< place of its middle along the member
    struct Operation {
        std::string name;
        using Measure = meaning::PieceDefinition::Operation::Measure;
        Measure measure = Measure::Length;
        double amount = 0.0; ///< of one piece, in m, m² or pieces
    };
    std::vector<Operation> operations;
};

/// What a member is cut from; a row that cannot be worked out is a diagnostic.
struct PieceList {
    std::vector<PieceView> pieces;
    std::vector<diag::Diagnostic> problems;
    bool named = false; ///< the sheet has piece rows at all
};

/// How one value came about.
struct Working {
    std::string member, name, what, source, note, kind;
    eval::State state = eval::State::Blocked;
    std::string reason;
    bool hasFormula = false;
    meaning::Box symbol, formula, putIn; ///< formula; the same with values put in
    meaning::Box right, rightPutIn;      ///< checks
    std::string relation;                ///< "≤" for checks
    std::string shown;                   ///< result with unit
    std::string rightShown;
    std::optional<double> utilisation;
    std::string caseLabel;
    /// What was worked out on the way and has no row of its own: a function of the sheet at its arguments, a cell
    /// of a list that is a link.
    struct Aside {
        std::string name; ///< "h_x(1.80 m)", "P_G of door"
        std::string what, source;
        meaning::Box symbol, formula, putIn;
        std::string shown;
    };
    std::vector<Aside> asides;
    std::vector<std::string> details; ///< "row C24 of en338", "largest at x = 1.80 m", "branch taken: h < 150 mm", beam residual
    std::vector<std::string> tableSources;
    struct Neighbour {
        std::string member, name, what, shown;
    };
    std::vector<Neighbour> comesFrom, feeds;
    std::string letters;
};

struct PlotView {
    std::string name, what, xUnit, yUnit, xName;
    std::vector<double> x; ///< in xUnit
    struct Curve {
        std::string label;
        std::vector<double> y;
    }; ///< in yUnit; NaN where not computed
    std::vector<Curve> curves;
    std::optional<double> place; ///< where what was looked for lies, in xUnit
    bool filled = false;         ///< the area between curve and zero is what counts
};

/// A sketch worked out for one member: marks in metres, x to the right, y upwards; texts ready to be written.
struct SketchView {
    using Shape = meaning::SketchDefinition::Shape;
    std::string title, what;
    double heights = 1.0; ///< heights are to be drawn so many times larger than lengths, and that is to be said
    struct Point {
        double x = 0.0, y = 0.0;
    };
    struct Mark {
        Shape shape = Shape::Outline;
        bool other = false; ///< Hatch: of a panel; Line: dashed
        std::vector<Point> points;
        std::optional<double> offset; ///< Dimension: metres to the left of its direction
        std::string text;             ///< Dimension: the true distance with its unit; Label: what it says
    };
    std::vector<Mark> marks;
    /// Marks that could not be worked out, each in words with the reason: "line 41, dimension: `b` is not stated".
    std::vector<std::string> leftOut;
};

} // namespace spanwright::job
