// SPDX-License-Identifier: MIT
#pragma once

#include <QTimer>
#include <QWidget>

#include "gui/models/live_workshop.h"
#include "gui/views/cutting_canvas.h"

class QScrollArea;

namespace spanwright::views {

class WorkshopHead;

/// The boards and panels as they are cut: at once the best plan so far, then better ones, until the search ends.
class CuttingView : public QWidget {
    Q_OBJECT

public:
    explicit CuttingView(models::LiveWorkshop& live, QWidget* parent = nullptr);
    void setMember(const std::string& mark) { m_canvas->setMember(mark); }
    [[nodiscard]] CuttingCanvas& canvas() { return *m_canvas; }
    [[nodiscard]] WorkshopHead& head() { return *m_head; }

Q_SIGNALS:
    void followed(const spanwright::views::CuttingCanvas::PieceAt& piece);
    void cutListWanted();
    void drawingsWanted();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void showEvent(QShowEvent* event) override;

private:
    void refresh();
    models::LiveWorkshop& m_live;
    WorkshopHead* m_head;
    QScrollArea* m_scroll;
    CuttingCanvas* m_canvas;
    QTimer m_soon; ///< plans may come faster than anybody looks
};

} // namespace spanwright::views
