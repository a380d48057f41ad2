// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>

#include <optional>
#include <vector>

#include "engine/trial/vary.h"
#include "gui/models/asking.h"

namespace spanwright::models {

/// One value that is varied, as typed. A list rules over a range; a choice without a list takes all rows of its table.
struct VaryField {
    QString name, from, to, by, list;
    [[nodiscard]] bool isEmpty() const { return name.trimmed().isEmpty(); }
};

/// A trial as typed.
struct VaryWish {
    std::vector<VaryField> fields; ///< empty ones are left out
    QString show;                  ///< names, apart by commas
    std::optional<trial::Aim> aim;
    QString reach; ///< with an aim: the value that is looked for, with a range if wanted
};

/// What cannot be done with a wish, and at which of its fields.
struct VaryFault {
    enum class Where : std::uint8_t { Name, From, To, By, List, Show, Reach, Whole } where = Where::Whole;
    std::size_t field = 0; ///< of Name to List
    QString message, mend;
};

/// A value that can be varied, for who chooses one.
struct Variable {
    QString name, what;
    bool choice = false;
};

/// Works a table out beside the window. The table holds as long as the job stands as it did.
class VaryBench : public QObject {
    Q_OBJECT

public:
    explicit VaryBench(JobSession& session, QObject* parent = nullptr);
    /// What is wrong with a wish as the job stands; nothing when it can be worked out.
    [[nodiscard]] std::optional<VaryFault> check(const VaryWish& wish) const;
    /// Begins; what was worked out before is out of date. Gives what check() gives.
    std::optional<VaryFault> start(const VaryWish& wish);
    void stop();
    [[nodiscard]] bool isRunning() const { return m_run.isRunning(); }
    [[nodiscard]] const std::optional<trial::VaryTable>& table() const { return m_table; }
    /// The table is of the job as it stands now.
    [[nodiscard]] bool holds() const { return m_table && m_holds; }
    /// Puts the settings into the job, for its report: one edit, one step of undo.
    Outcome pin(const VaryWish& wish);
    [[nodiscard]] trial::VaryRequest requestOf(const VaryWish& wish) const;

    /// Every value of the job that can be varied.
    [[nodiscard]] std::vector<Variable> variables() const;
    /// What can be shown of the member that a name is of.
    [[nodiscard]] std::vector<Variable> shownOf(const QString& name) const;
    /// A range about the present value that makes some ten round values; a choice gets none.
    [[nodiscard]] VaryField proposalFor(const QString& name) const;

Q_SIGNALS:
    void progressed(int permille);
    /// A table came, went out of date, or the work began or ended.
    void changed();

private:
    [[nodiscard]] QString nameOf(const std::string& mark, const std::string& name) const;
    void outdate();
    JobSession& m_session;
    AsideRun m_run;
    std::optional<trial::VaryTable> m_table;
    bool m_holds = false;
};

} // namespace spanwright::models
