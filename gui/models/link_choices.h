// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>

#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// Values of other members that a value could be taken from: those of the same dimension and tag, known and without
/// cases; and the job's own givens are left to be typed.
class LinkChoices : public QAbstractListModel {
    Q_OBJECT

public:
    LinkChoices(const JobSession& session, CellId target, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    /// What states the link: "J1.R_G".
    [[nodiscard]] QString formula(int row) const;

private:
    struct Entry {
        QString mark, name, what, shown;
    };
    std::vector<Entry> m_entries;
};

} // namespace spanwright::models
