// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/base/result.h"
#include "engine/diag/diagnostic.h"
#include "engine/job/extract.h"
#include "engine/job/job.h"
#include "engine/trial/column.h"
#include "engine/units/format.h"

namespace spanwright::trial {

using job::ValueName;
using job::Verdict;

/// How a run is gone about. Results do not depend on it.
struct Control {
    unsigned threads = 0; ///< 0: as many as the machine has
    /// Asked now and then on the thread that called run(), with points done and points in all; false cancels.
    std::function<bool(std::size_t done, std::size_t total)> progress;
};

/// A value that is varied, as the job has it.
struct Varied {
    ValueName name;
    meaning::Kind kind = meaning::Kind::Given;
    std::string what;
    units::Unit unit;
    units::Show show;
    units::Dimension dimension;
    std::shared_ptr<const meaning::Table> table; ///< of a choice: values are its row indices
    std::optional<double> low, high;             ///< limits of its row, where they are fixed
    std::optional<double> tolerance;             ///< half width, where one is stated
    std::optional<double> now;                   ///< as the job stands
    std::string nowShown;
    bool stated = false, linked = false;
    bool whole = false; ///< only whole numbers are values of it; see isWhole()
};

/// Something looked at: a row of a member; of a check its utilisation.
struct Shown {
    ValueName name;
    std::string what;
    meaning::Kind kind = meaning::Kind::Derive;
    units::Unit unit;
    units::Show show;
    units::Dimension dimension;
    bool truth = false;
};

/// A check or requirement of a member that a trial reaches.
struct CheckName {
    std::string mark, name, what;
    std::uint32_t member = 0; ///< index into Trial::members()
    meaning::QuantityId id;
    bool isRequire = false;
};

struct Results {
    std::size_t points = 0;
    bool cancelled = false;
    std::vector<Column<double>> shown;    ///< by what is shown, then by point; NaN: not computed
    Column<Verdict> verdicts;             ///< by point: the worst of the members that are reached
    std::vector<Column<Verdict>> members; ///< by member, then by point
    Column<double> utilisation;           ///< by point: the greatest of all checks reached; NaN: none
    Column<std::uint32_t> governing;      ///< by point: its check, an index into Trial::checks()
    std::vector<Column<double>> byCheck;  ///< only if asked for: by check, then by point: utilisation; NaN without
};

/// One point looked at closely.
struct CheckAt {
    std::uint32_t check = 0; ///< index into Trial::checks()
    job::CheckView::State state = job::CheckView::State::NotComputed;
    std::optional<double> utilisation;
};
struct Detail {
    Verdict verdict = Verdict::NotComputed;
    std::vector<CheckAt> checks;      ///< those that do not pass first, the worst first
    std::vector<std::string> reasons; ///< why it is not OK, in words
};

/// Whether points pass, without more.
struct Passed {
    bool cancelled = false;
    std::vector<char> passes; ///< by point; what was not reached does not
    /// By point, for a guess at where passing ends and for nothing else: the greatest utilisation found. No less than 1 where a
    /// utilisation fails; of a point that does not pass some checks may be missing. NaN: none.
    Column<double> most;
};

/// Values of what is varied, for points [first, first + count): out[k][i] of the k-th. Called from several threads.
using Fill = std::function<void(std::size_t first, std::size_t count, double* const* out)>;

/// The most points that one run takes.
inline constexpr std::size_t kMostPoints = 50'000'000;

class Workers;

/// A job calculated at many points: one to a few stated values vary, everything downstream of them (through links
/// into other members too) is worked out at each point, all else once. Made on the job's thread; from then on
/// apart from the job, so it may run on another one while the job is edited. Verdicts follow the job's own
/// rules: what is not stated, not applicable, not computed or proven by nobody is never OK.
class Trial {
public:
    /// `workers`: those of an earlier trial of the same job in the same state (compiled formulas are used again);
    /// null for new ones.
    [[nodiscard]] static base::Result<Trial, diag::Diagnostic> of(const job::Job& job, const std::vector<ValueName>& varied,
                                                                  const std::vector<ValueName>& shown, std::shared_ptr<Workers> workers = nullptr);
    Trial(Trial&&) noexcept;
    Trial& operator=(Trial&&) noexcept;
    ~Trial();

    [[nodiscard]] const std::vector<Varied>& varied() const;
    [[nodiscard]] const std::vector<Shown>& shown() const;
    [[nodiscard]] const std::vector<job::ExtractMember>& members() const;
    [[nodiscard]] const std::vector<CheckName>& checks() const;
    [[nodiscard]] const std::shared_ptr<Workers>& workers() const;
    /// How many rows are worked out at each point.
    [[nodiscard]] std::size_t rowsDownstream() const;
    [[nodiscard]] const job::Extract& extract() const;

    /// The same numbers, bit for bit, whatever the number of threads. At most kMostPoints.
    [[nodiscard]] Results run(std::size_t points, const Fill& fill, const Control& control, bool byCheck = false) const;
    /// Whether every member is no worse than `worst` says (by member; empty: all OK) at each point. It comes to what run() says,
    /// but checks that take little go first, and a point that is worse by one of them is left there: whoever passes
    /// passed all of them, and every row of it was worked out.
    [[nodiscard]] Passed passing(std::size_t points, const Fill& fill, const Control& control, const std::vector<Verdict>& worst = {}) const;
    /// Point by point without lanes: the second way, for tests.
    [[nodiscard]] Results runOneByOne(std::size_t points, const Fill& fill) const;
    [[nodiscard]] Detail detail(const std::vector<double>& values) const;
    /// The same for many points.
    [[nodiscard]] std::vector<Detail> details(std::size_t points, const Fill& fill, const Control& control) const;

    /// A value of a varied one as it is shown, and as it can be stated in a job.
    [[nodiscard]] std::string valueShown(std::size_t varied, double v) const;
    [[nodiscard]] std::string valueWritten(std::size_t varied, double v) const;

private:
    struct Impl;
    explicit Trial(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> m_impl;
};

/// "M_d": with its mark in a job of several members, alone in a single sheet.
[[nodiscard]] std::string pathText(const ValueName& name);

} // namespace spanwright::trial
