// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>

#include <string>
#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// The rows of a list of a member, to be edited before they are stated as a whole. Fields are text as the engine has
/// it; a number is checked against its column's unit when it is typed, a link to another value when it is stated.
///
/// Invariants: a refused field leaves what was there; rows are as many fields wide as there are columns.
class ListRows : public QAbstractTableModel {
    Q_OBJECT

public:
    ListRows(JobSession& session, CellId cell, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_view.rows.size()); }
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override { return parent.isValid() ? 0 : static_cast<int>(m_view.columns.size()); }
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    bool insertRows(int row, int count, const QModelIndex& parent = {}) override;
    bool removeRows(int row, int count, const QModelIndex& parent = {}) override;
    void moveRow(int row, int by);

    [[nodiscard]] bool isStated() const { return m_view.stated; }
    /// States them in the job; what is wrong is said and nothing is stated.
    Outcome state();
    /// The sheet's own rows again.
    Outcome takeBack();

Q_SIGNALS:
    void refused(const QModelIndex& index, const QString& reason);

private:
    /// Why a field does not fit its column; empty if it does.
    [[nodiscard]] QString misfit(int column, const std::string& text) const;
    JobSession& m_session;
    std::string m_mark, m_name;
    job::ListView m_view;
};

} // namespace spanwright::models
