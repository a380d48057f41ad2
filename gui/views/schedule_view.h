// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include "gui/models/live_workshop.h"

namespace spanwright::views {

class WorkshopHead;
class RowTable;

/// The members of the job in a table: how many, of what size, what governs, what they weigh and cost, and their page in print.
class ScheduleView : public QWidget {
    Q_OBJECT

public:
    enum Column { Mark, Purpose, Count, Section, Span, Governing, Verdict, MassOfOne, MassOfAll, Cost, Page, ColumnCount };
    explicit ScheduleView(models::LiveWorkshop& live, QWidget* parent = nullptr);
    /// The row of that member becomes the current one; that is no choice.
    void setMember(const std::string& mark);
    [[nodiscard]] RowTable& table() { return *m_table; }
    [[nodiscard]] WorkshopHead& head() { return *m_head; }

Q_SIGNALS:
    /// A row was chosen: the member and, if one governs, its check.
    void followed(const QString& mark, const QString& check);
    void scheduleWanted();

protected:
    void showEvent(QShowEvent* event) override;

private:
    void refresh();
    void follow(int row);
    models::LiveWorkshop& m_live;
    WorkshopHead* m_head;
    RowTable* m_table;
    std::string m_member;
};

} // namespace spanwright::views
