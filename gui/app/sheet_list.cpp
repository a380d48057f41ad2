// SPDX-License-Identifier: MIT
#include "gui/app/sheet_list.h"

#include <QEvent>
#include <QMenu>
#include <QTabBar>

namespace spanwright::app {

SheetList::SheetList(QTabBar& tabs, QWidget* parent) : QToolButton(parent), m_tabs(tabs) {
    setObjectName(QStringLiteral("sheetList"));
    setText(tr("Sheets"));
    setAccessibleName(tr("All sheets of the job"));
    setPopupMode(QToolButton::InstantPopup);
    setMenu(new QMenu(this));
    connect(menu(), &QMenu::aboutToShow, this, &SheetList::fill);
    m_tabs.installEventFilter(this);
    hide();
}

void SheetList::fill() {
    menu()->clear();
    for (int i = 0; i < m_tabs.count(); ++i) {
        const QString title = m_tabs.tabToolTip(i), name = m_tabs.tabText(i);
        QAction* sheet = menu()->addAction(title.isEmpty() ? name : QStringLiteral("%1\t%2").arg(name, title), this, [this, i] { m_tabs.setCurrentIndex(i); });
        sheet->setCheckable(true);
        sheet->setChecked(i == m_tabs.currentIndex());
        if (sheet->isChecked()) menu()->setActiveAction(sheet);
    }
}

void SheetList::open() {
    const QWidget& at = isVisible() ? static_cast<const QWidget&>(*this) : m_tabs;
    menu()->popup(at.mapToGlobal(at.rect().bottomLeft()));
}

/// Taking room for the button must not bring about what it stands for.
void SheetList::fit() {
    const int room = m_tabs.width() + (isHidden() ? 0 : width());
    setVisible(m_tabs.count() > 1 && m_tabs.sizeHint().width() > room);
}

bool SheetList::eventFilter(QObject* object, QEvent* event) {
    const auto type = event->type();
    if (type == QEvent::Resize || type == QEvent::LayoutRequest || type == QEvent::Show) QMetaObject::invokeMethod(this, &SheetList::fit, Qt::QueuedConnection);
    return QToolButton::eventFilter(object, event);
}

} // namespace spanwright::app
