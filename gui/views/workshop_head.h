// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <functional>

#include "gui/ink/stamp.h"
#include "gui/models/live_workshop.h"

class QHBoxLayout;
class QLabel;
class QMenu;
class QProgressBar;
class QPushButton;
class QSpinBox;
class QToolButton;

namespace spanwright::views {

class StampLabel;

/// The strip at the head of a view of the workshop: how it stands in words, and what can be done about it.
class WorkshopHead : public QWidget {
    Q_OBJECT

public:
    /// `search`: with the limit of seconds and a button that stops with the best plan so far.
    WorkshopHead(models::LiveWorkshop& live, bool search, QWidget* parent);
    /// What is exported, offered only while it is of the job as it stands.
    QAction* addExport(const QString& text, const std::function<void()>& what);
    /// `words` while nothing is being worked out, behind those of members that are not OK, for which nothing is to be bought; with a
    /// word in a box in front if there is one.
    void show(const QString& words, ink::Stamp stamp = ink::Stamp::None, const QString& word = {});
    [[nodiscard]] QString words() const;

private:
    void refresh();
    models::LiveWorkshop& m_live;
    QString m_said;
    QLabel* m_words;
    StampLabel* m_stamp;
    QPushButton* m_stop = nullptr;
    QSpinBox* m_seconds = nullptr;
    QToolButton* m_export;
    QMenu* m_menu;
};

} // namespace spanwright::views
