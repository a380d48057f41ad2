// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/eval/arena.h"
#include "engine/eval/flat.h"
#include "engine/eval/formula.h"
#include "engine/eval/lookup.h"
#include "engine/eval/muparser.h"
#include "engine/eval/value.h"

namespace spanwright::beam {
class EvenLines;
}

namespace spanwright::eval {

inline constexpr std::uint64_t kMostWork = 50'000'000; ///< evaluations of bodies in one row
inline constexpr std::size_t kFewLeaves = 24;          ///< frames up to this size live on the stack
inline constexpr std::size_t kMostCases = 100'000;     ///< cases of one quantity

struct PointRow;

/// Lanes that are trial points: rows that vary have a number for each point, all others are as they stand.
struct PointScope {
    std::vector<const PointRow*> rows;   ///< by QuantityId; null: does not vary. Of a link: by reference
    const std::uint32_t* list = nullptr; ///< points of the lanes; null: the first ones in order
    std::vector<signed char> varying;    ///< by ExprId: what variesByPoint() found; -1: not yet asked
    std::vector<std::uint32_t> alone;    ///< lanes whose numbers are not theirs: each is to be worked out by itself
};

/// Evaluates formulas of one pool: compiles when first needed, loads leaves, runs scalars and blocks,
/// works out call-outs. Holds the scope (rows of axes, range variables, parameters) of what is being
/// evaluated; every public call leaves it as it was.
class Engine {
public:
    class FlatRun;
    /// `sheet` is null for links.
    Engine(const meaning::ExprPool& pool, const meaning::Sheet* sheet);
    Engine(const Engine&) = delete;
    Engine& operator=(const Engine&) = delete;

    // --- what is being evaluated -------------------------------------------------------------------
    /// Begins a row: forgets failures and the work done so far.
    void begin(const MemberValues* values, const std::vector<const Value*>* externals);
    [[nodiscard]] const MemberValues& values() const { return *m_values; }
    [[nodiscard]] const meaning::Sheet* sheet() const { return m_sheet; }
    [[nodiscard]] const meaning::ExprPool& pool() const { return m_pool; }
    void setAxisRow(meaning::QuantityId axis, std::size_t row) { m_axisRow[axis.index()] = static_cast<std::uint32_t>(row); }
    [[nodiscard]] std::size_t axisRow(meaning::QuantityId axis) const { return m_axisRow[axis.index()]; }

    // --- rows --------------------------------------------------------------------------------------
    /// One number in the present scope, flags cleared before and tested after.
    [[nodiscard]] bool number(meaning::ExprId root, double& out);
    /// The same for the plainest of formulas (Formula::plain) when every row that it reads is a single known
    /// number: without scope, failures and counting of work. False if that is not so, or if something is
    /// wrong with the result: then number() finds out.
    [[nodiscard]] bool plainNumber(const Formula& f, const MemberValues& values, double& out);
    /// All `count` cases of `axes`, row-major, last axis fastest.
    [[nodiscard]] bool cases(meaning::ExprId root, const std::vector<meaning::QuantityId>& axes, std::size_t count, std::vector<double>& out);
    /// A body at n places of its variable. `run`: what it may be tried with first, in the same scope all its life.
    [[nodiscard]] bool along(meaning::ExprId body, std::uint32_t slot, const double* x, std::size_t n, double* out, FlatRun* run = nullptr);
    /// A formula over n points of `scope` in lanes, in the present rows of the axes. False if a lane failed, or if
    /// something in the formula cannot go in lanes: then nothing is said about it here. Else all but the lanes that it
    /// adds to `scope.alone` (no root, an empty range) have their numbers.
    [[nodiscard]] bool points(meaning::ExprId root, PointScope& scope, std::size_t n, double* out);
    /// Searches of `group` (one body for each of `spans`: largest, smallest or where one is, over the same range) in every
    /// case of `axes` (the last one fastest) over n points, side by side: they are sampled at the same places, and what the
    /// bodies and cases have in common is worked out once. Each comes out as by itself: out[case*spans + span] has n numbers.
    /// False, and nothing said, if anything is amiss.
    [[nodiscard]] bool searchTogether(const FlatGroup& group, const std::vector<meaning::ExprId>& spans, const std::vector<meaning::QuantityId>& axes,
                                      PointScope& scope, std::size_t n, const std::vector<double*>& out);
    /// True where something under a node reads a row that varies; functions of the sheet included.
    [[nodiscard]] bool variesByPoint(meaning::ExprId id, PointScope& scope) const;
    /// False if working it out in lanes must fail: rows of an axis that vary.
    [[nodiscard]] bool goesInLanes(meaning::ExprId root, PointScope& scope);
    /// The same as a number, but failing leaves no trace: for looking ahead.
    [[nodiscard]] std::optional<double> quietly(meaning::ExprId root);

    // --- failure -----------------------------------------------------------------------------------
    struct Failure {
        std::shared_ptr<const diag::Diagnostic> problem;
        bool blocked = false;          ///< a row it needs is not known
        meaning::QuantityId blockedBy; ///< invalid: reference `external` of a link
        std::uint32_t external = 0;
    };
    [[nodiscard]] bool failed() const { return m_failed; }
    [[nodiscard]] const Failure& failure() const { return m_failure; }
    /// Says that the row cannot be computed; the first word counts. Adds where in the range and in which case.
    void fail(diag::Diagnostic d);
    [[nodiscard]] diag::Place place(const meaning::Expr& e) const;
    [[nodiscard]] diag::Place placeOf(std::uint32_t row, base::ByteSpan span) const;
    /// The name in a row, or the whole row.
    [[nodiscard]] diag::Place rowPlace(const meaning::Quantity& q) const;
    /// While an axis is gone through by hand: failures say in which row.
    void pushNoteAxis(meaning::QuantityId axis) { m_noteAxes.push_back(axis); }
    void popNoteAxis() { m_noteAxes.pop_back(); }
    /// How an expression was written, on one line.
    [[nodiscard]] std::string written(const meaning::Expr& e) const;
    /// A value of an expression in the unit that its reader expects.
    [[nodiscard]] std::string shown(meaning::ExprId id, double v) const;
    /// Walks the tree in the present scope to say which operation made no number.
    void explain(meaning::ExprId root);

    // --- for call-outs, the walker and breaks ------------------------------------------------------
    [[nodiscard]] bool load(const Leaf& leaf, double& out) const;
    void blockOn(const Leaf& leaf);
    [[nodiscard]] double callOutNode(meaning::ExprId node, const double* arguments, std::uint32_t count);
    [[nodiscard]] double run(meaning::ExprId root) { return run(formula(root)); }
    [[nodiscard]] double slot(std::uint32_t s) const { return m_slots[s]; }
    void setSlot(std::uint32_t s, double v) { m_slots[s] = v; }
    [[nodiscard]] const Formula& formula(meaning::ExprId root);
    /// The same written out in one piece, for places of the variable in `slot`.
    [[nodiscard]] const Flat& flat(meaning::ExprId body, std::uint32_t slot);
    /// The bodies of several ranges in one piece. False if it cannot be.
    [[nodiscard]] bool flatGroup(const std::vector<meaning::ExprId>& spans, FlatGroup& out);
    [[nodiscard]] const std::string& text(meaning::ExprId root, std::string& storage);
    /// For a range: where its value was (largest), or the row of a look-up; set by the last call-out.
    double lastPlace = 0.0;
    /// For a range: it was sampled. Else its largest was looked for only where it may turn, or there was nothing to look for.
    bool lastSampled = false;

    void useBlocks(bool on) { m_blocks = on; }
    struct Counts {
        std::uint64_t scalar = 0, lanes = 0, compiled = 0;
    };
    [[nodiscard]] const Counts& counts() const { return m_counts; }

private:
    class FormulaHost;
    class PerLane;
    friend class Quiet;

    double run(const Formula& f);
    /// Lanes as the scope says (m_laneSlot, m_laneAxis).
    bool block(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out);
    bool lanes(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out);
    bool oneByOne(const Formula& f, std::size_t n, const std::uint8_t* mask, double* out);
    [[nodiscard]] bool loadLanes(const Leaf& leaf, std::size_t n, Operand& out);
    bool callOutBlock(const Formula& f, std::uint32_t index, const Operand* arguments, std::uint32_t count, std::size_t n, const std::uint8_t* mask,
                      double* out);

    [[nodiscard]] bool loadPoints(const Leaf& leaf, const PointRow& row, std::size_t n, Operand& out);
    /// A call-out reads nothing that varies but by its arguments.
    [[nodiscard]] bool stands(const meaning::Expr& e, meaning::ExprId id) const;
    bool beamPoints(const meaning::Expr& e, const Operand* arguments, std::size_t n, const std::uint8_t* mask, double* out);
    /// Of all points at once: whether all have a value. Nothing: each is to be asked by itself.
    std::optional<bool> linePoints(const beam::EvenLines& lines, const meaning::Expr& e, const Operand* arguments, std::size_t n,
                                   const std::vector<double>& factors, double* out);
    /// integral, largest and the like where they vary from point to point: side by side, each as by itself.
    bool spanPoints(const meaning::Expr& e, std::size_t n, const std::uint8_t* mask, double* out);
    /// largest and the like of a formula that turns only where beams say so, at the points where they do: those no longer count. False: something
    /// is amiss.
    /// Of lines that all turn in their middle. Nothing: they are none.
    std::optional<bool> middles(FlatRun& run, const std::vector<const double*>& ends, std::vector<std::uint8_t>& counts, double sign, bool places, double* out);
    bool turningPoints(FlatRun& run, const std::vector<const double*>& ends, std::vector<std::uint8_t>& counts, double sign, bool places, double* out);
    bool together(const FlatGroup& group, const std::vector<meaning::ExprId>& spans, const std::vector<meaning::QuantityId>& axes, std::size_t n,
                  const std::vector<double*>& out);
    bool reduceBlock(const meaning::Expr& e, std::size_t n, const std::uint8_t* mask, double* out);
    [[nodiscard]] bool variesByLane(meaning::ExprId id, const Operand* arguments, std::uint32_t count);
    [[nodiscard]] std::size_t caseIndex(const std::vector<meaning::QuantityId>& axes) const;
    double userCall(const meaning::Expr& e, const double* arguments);
    bool userCallBlock(const meaning::Expr& e, const Operand* arguments, std::size_t n, const std::uint8_t* mask, double* out);
    void failCell(const meaning::Expr& e, const meaning::Table& t, std::uint32_t row);
    double tableField(const meaning::Expr& e, const double* arguments);
    double matrixField(const meaning::Expr& e, const double* arguments);
    double reduce(const meaning::Expr& e);
    double span(const meaning::Expr& e);
    double beamValue(const meaning::Expr& e, const double* arguments);
    bool beamBlock(const meaning::Expr& e, const Operand& x, std::size_t n, const std::uint8_t* mask, double* out);
    bool factorsOf(const meaning::Expr& e, std::vector<double>& out);
    void failBeamPlace(const meaning::Expr& e, double x);
    bool beamKnown(const meaning::Expr& e);
    [[nodiscard]] double rowKey(const meaning::Table& t, std::size_t row) const;

    const meaning::ExprPool& m_pool;
    const meaning::Sheet* m_sheet;
    std::vector<std::unique_ptr<Formula>> m_formulas;                 ///< by ExprId
    std::unordered_map<std::uint64_t, std::unique_ptr<Flat>> m_flats; ///< by body and slot
    LookupCache m_lookups;
    /// What m_caseRows holds at present: rows of these axes (with their sizes) from this case on.
    struct CaseRows {
        std::vector<std::pair<meaning::QuantityId, std::size_t>> axes;
        std::size_t first = 0, lanes = 0;
        friend bool operator==(const CaseRows&, const CaseRows&) = default;
    } m_caseRowsHeld;
    std::vector<std::uint32_t> m_caseRows; ///< of cases(): kLanes rows of each axis in turn
    static constexpr std::uint32_t kNoSlot = 0xffffffffU;
    std::unordered_map<std::uint32_t, std::vector<std::uint32_t>> m_freeSlots; ///< by ExprId: range variables and parameters inside

    const MemberValues* m_values = nullptr;
    const std::vector<const Value*>* m_externals = nullptr;
    std::vector<std::uint32_t> m_axisRow; ///< by QuantityId of the each row
    std::vector<double> m_slots;
    std::vector<const double*> m_laneSlot; ///< null: the same in all lanes
    std::vector<const std::uint32_t*> m_laneAxis;
    std::vector<std::uint32_t> m_lanedSlots;
    std::vector<meaning::QuantityId> m_lanedAxes;
    /// While lanes are consecutive cases of a row: its axes and the first case. Else null.
    const std::vector<meaning::QuantityId>* m_caseAxes = nullptr;
    std::size_t m_caseFirst = 0;

    PointScope* m_points = nullptr; ///< set: lanes are trial points

    struct RangeScope {
        std::uint32_t slot = 0;
        std::string name;
        meaning::ExprId unitOf; ///< its first point: says the unit to show
    };
    std::vector<RangeScope> m_ranges; ///< innermost last: for notes
    std::vector<meaning::QuantityId> m_noteAxes;

    bool m_failed = false;
    Failure m_failure;
    unsigned m_outerFlags = 0; ///< raised before an inner evaluation began
    std::uint64_t m_work = 0;
    bool m_blocks = true;
    Arena m_arena;
    Counts m_counts;
};

/// Inside, nothing that fails is remembered and no flag is kept.
class Quiet {
public:
    explicit Quiet(Engine& engine);
    ~Quiet();
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;

private:
    Engine& m_engine;
    bool m_failed;
    Engine::Failure m_failure;
    unsigned m_flags, m_outerFlags;
};

} // namespace spanwright::eval
