// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>
#include <QTimer>

#include "gui/models/standing.h"

namespace spanwright::models {

/// What is wrong, as a list whose entries lead to a row. Follows the session, in its pinned trials a moment later; the
/// sentence of standing() is told above it.
class ProblemList : public QAbstractListModel {
    Q_OBJECT

public:
    enum Role { MendRole = Qt::UserRole + 1, SortRole, MarkRole };
    explicit ProblemList(JobSession& session, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] const Trouble& trouble(int row) const { return m_standing.troubles[static_cast<std::size_t>(row)]; }
    [[nodiscard]] const Standing& standing() const { return m_standing; }
    /// "fails", "not stated" ...
    [[nodiscard]] static QString word(Trouble::Sort sort);

Q_SIGNALS:
    void standingChanged();

private:
    void refresh();
    /// A moment behind the last edit: what trials ask of a large job is not read at every key.
    void lookAtTrials();
    JobSession& m_session;
    Standing m_standing;
    QString m_path; ///< of the job that m_trials are of
    std::vector<Trouble> m_trials;
    QTimer m_trialsSoon;
};

} // namespace spanwright::models
