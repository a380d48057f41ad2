// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractTableModel>

#include <map>
#include <utility>
#include <vector>

#include "gui/models/job_session.h"

namespace spanwright::models {

/// The job's own givens, that its members may read: name, value, what it is, source. The value is edited in place; what is refused is kept
/// beside it until something is accepted there or it is dropped.
class JobValues : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { NameColumn, ValueColumn, WhatColumn, SourceColumn, ColumnCount };
    enum Role { RefusalRole = Qt::UserRole + 1 }; ///< of a value: why what was typed for it is refused
    explicit JobValues(JobSession& session, QObject* parent = nullptr);
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;

    /// What was refused there is given up.
    void dropRefusal(const QModelIndex& index);
    /// Where a refused text stands, and the text.
    [[nodiscard]] QStringList notTaken() const;

Q_SIGNALS:
    void refused(const QModelIndex& index, const QString& reason);

private:
    struct Entry {
        QString name, value, what, source;
        friend bool operator==(const Entry&, const Entry&) = default;
    };
    [[nodiscard]] std::vector<Entry> read() const;
    void refresh();
    void tellOf(const QString& name);
    JobSession& m_session;
    std::vector<Entry> m_entries;
    QString m_path;                                           ///< of the job whose texts were refused
    std::map<QString, std::pair<QString, QString>> m_refused; ///< by name: what was typed, and why it is refused
};

} // namespace spanwright::models
