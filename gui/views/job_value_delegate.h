// SPDX-License-Identifier: MIT
#pragma once

#include "gui/models/job_values.h"
#include "gui/views/editing_delegate.h"

namespace spanwright::views {

/// Opens the editors of the job's own values: what is refused stays there as it does in the grid.
class JobValueDelegate : public EditingDelegate {
    Q_OBJECT

public:
    explicit JobValueDelegate(models::JobValues& values, QObject* parent = nullptr) : EditingDelegate(parent), m_values(values) {}

protected:
    [[nodiscard]] CellEditor* editorFor(QWidget* parent, const QModelIndex& index) const override;
    [[nodiscard]] QString refusalAt(const QModelIndex& index) const override { return index.data(models::JobValues::RefusalRole).toString(); }
    void dropRefusalAt(const QModelIndex& index) override { m_values.dropRefusal(index); }

private:
    models::JobValues& m_values;
};

} // namespace spanwright::views
