// SPDX-License-Identifier: MIT
#pragma once

#include <QObject>

#include <functional>
#include <optional>
#include <string>

#include "engine/trial/reach.h"
#include "gui/models/asking.h"

namespace spanwright::models {

/// How far a stated value can go with every check of the members that it reaches passing; of a choice, which rows of its
/// table pass. Holds as long as the job stands as it did.
class FarModel : public QObject {
    Q_OBJECT

public:
    explicit FarModel(JobSession& session, QObject* parent = nullptr);
    /// True for what can be asked about: a stated or assumed number or choice.
    [[nodiscard]] static bool canAsk(const JobSession& session, CellId cell);
    void showCell(std::optional<CellId> cell);
    /// The same of one of the job's own values, by name; empty: of none.
    void showJobValue(const std::string& name);
    [[nodiscard]] Asking& asking() { return m_asking; }
    [[nodiscard]] const Asking& asking() const { return m_asking; }
    /// Of the present cell, also while it is out of date; nothing before the first answer.
    [[nodiscard]] const std::optional<trial::Far>& far() const { return m_far; }
    [[nodiscard]] bool holds() const { return m_far && m_asking.state() == Asking::State::Answered; }
    /// What it comes to in words, a line each; says so when it is out of date or cannot be worked out.
    [[nodiscard]] QStringList words() const;

Q_SIGNALS:
    void changed();

private:
    /// Asks about what trials call it.
    void ask(std::function<std::optional<std::string>(const job::Job&)> name);
    JobSession& m_session;
    Asking m_asking;
    std::optional<CellId> m_cell;
    std::string m_jobValue;
    std::optional<trial::Far> m_far;
    QString m_refused;
};

} // namespace spanwright::models
