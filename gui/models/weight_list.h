// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>

#include <optional>

#include "engine/trial/weigh.h"
#include "gui/models/asking.h"
#include "gui/models/history.h"

namespace spanwright::models {

/// The stated values that weigh on a check, the heaviest first: by how many per cent its utilisation changes for one per
/// cent more of each. Empty while it is out of date.
class WeightList : public QAbstractListModel {
    Q_OBJECT

public:
    enum Role { PercentRole = Qt::UserRole + 1, ShareRole /* of the heaviest, with its sign */, ExactRole, NameRole, NowRole, WhatRole };
    explicit WeightList(JobSession& session, QObject* parent = nullptr);
    void showCell(std::optional<CellId> cell);
    [[nodiscard]] Asking& asking() { return m_asking; }
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    /// Where an entry leads; the mark of one of the job's own values is empty.
    [[nodiscard]] Spot spot(int row) const;
    /// What stands above or instead of the list.
    [[nodiscard]] QString words() const;

Q_SIGNALS:
    void changed();

private:
    void take(std::optional<trial::Weights> weights);
    JobSession& m_session;
    Asking m_asking;
    std::optional<CellId> m_cell;
    std::optional<trial::Weights> m_weights;
    int m_rows = 0; ///< those that change anything
    QString m_refused;
};

} // namespace spanwright::models
