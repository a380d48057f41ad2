// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>
#include <string>

#include "gui/models/live_workshop.h"

class QLabel;
class QScrollArea;
class QSplitter;

namespace spanwright::views {

class CostPicture;
class RowTable;
class WorkshopHead;

/// The bill line by line, and beside it a picture of who has what share: of all, or of the line that is chosen.
class CostView : public QWidget {
    Q_OBJECT

public:
    enum Column { Sort, Item, Amount, From, To, What, ColumnCount };
    explicit CostView(models::LiveWorkshop& live, QWidget* parent = nullptr);
    void setMember(const std::string& mark);
    [[nodiscard]] RowTable& table() { return *m_table; }
    [[nodiscard]] CostPicture& picture() { return *m_picture; }
    [[nodiscard]] WorkshopHead& head() { return *m_head; }
    /// Why the total is not proven and what is not in it.
    [[nodiscard]] QString remarks() const;

Q_SIGNALS:
    /// A member was chosen in the picture, or a line of the bill: then with the piece of that member that it is paid for.
    void followed(const QString& mark, const QString& piece);
    void billWanted();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void showEvent(QShowEvent* event) override;

private:
    void refresh();
    void draw();
    void follow(int row);
    [[nodiscard]] std::optional<std::size_t> lineOf(int row) const;
    models::LiveWorkshop& m_live;
    WorkshopHead* m_head;
    QSplitter* m_split;
    RowTable* m_table;
    QScrollArea* m_scroll;
    CostPicture* m_picture;
    QLabel* m_remarks;
    std::string m_member;
    std::shared_ptr<const shop::Workshop> m_shown;
    bool m_shownOld = false;
};

} // namespace spanwright::views
