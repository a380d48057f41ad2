// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractListModel>

#include <optional>

#include "engine/trial/mends.h"
#include "gui/models/asking.h"

namespace spanwright::models {

/// For a member that FAILS: single changes of its stated values that would make all its checks pass, the least first.
/// Empty while it is out of date.
class MendList : public QAbstractListModel {
    Q_OBJECT

public:
    enum Role { NowRole = Qt::UserRole + 1 };
    explicit MendList(JobSession& session, QObject* parent = nullptr);
    void showMember(std::optional<std::size_t> member);
    [[nodiscard]] std::optional<std::size_t> member() const { return m_member; }
    [[nodiscard]] Asking& asking() { return m_asking; }
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    /// States the value in the job: one edit, one step of undo. Refused once the job is another than the one it was found in.
    Outcome putIntoJob(int row);
    /// What stands above or instead of the list; empty for a member that does not fail.
    [[nodiscard]] QString words() const;

Q_SIGNALS:
    void changed();

private:
    void take(std::optional<trial::Mends> mends);
    JobSession& m_session;
    Asking m_asking;
    std::optional<std::size_t> m_member;
    std::optional<trial::Mends> m_mends;
};

} // namespace spanwright::models
