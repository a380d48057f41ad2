// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>
#include <QListView>

#include <string>
#include <vector>

#include "engine/job/verdict.h"
#include "gui/models/history.h"

namespace spanwright::views {

/// Values that one comes from, or that it feeds, as a list whose entries lead there.
///
/// Invariant: where the same values are told anew, only what is shown of them changes: what is selected stays.
class NeighbourModel : public QAbstractListModel {
    Q_OBJECT

public:
    enum Role { MarkRole = Qt::UserRole + 1, NameRole, OtherRole, ValueRole, WhatRole };
    using QAbstractListModel::QAbstractListModel;
    /// `own`: mark of the member that they are told for; values of others are told with theirs.
    void set(std::vector<job::Working::Neighbour> neighbours, const std::string& own);
    [[nodiscard]] models::Spot spot(int row) const;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

private:
    std::vector<job::Working::Neighbour> m_list;
    std::string m_own;
};

/// Shows them, as high as they need, up to a few.
class NeighbourList : public QListView {
    Q_OBJECT

public:
    explicit NeighbourList(QWidget* parent = nullptr);
    void set(std::vector<job::Working::Neighbour> neighbours, const std::string& own);
    [[nodiscard]] int count() const { return m_model->rowCount(); }
    /// What an entry says.
    [[nodiscard]] QString text(int row) const { return m_model->index(row).data().toString(); }

Q_SIGNALS:
    void followed(const spanwright::models::Spot& spot);

protected:
    void changeEvent(QEvent* event) override;

private:
    void fit();
    NeighbourModel* m_model;
};

} // namespace spanwright::views
