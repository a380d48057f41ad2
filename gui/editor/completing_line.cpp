// SPDX-License-Identifier: MIT
#include "gui/editor/completing_line.h"

#include <QKeyEvent>

#include "gui/editor/completion_popup.h"
#include "gui/models/text.h"

namespace spanwright::editor {

CompletingLine::CompletingLine(models::JobSession& session, CompletionPlace place, QWidget* parent)
    : QLineEdit(parent), m_session(session), m_place(std::move(place)), m_popup(new CompletionPopup(this)) {
    connect(m_popup, qOverload<const QString&>(&QCompleter::activated), this, &CompletingLine::take);
}

bool CompletingLine::event(QEvent* event) {
    if (event->type() == QEvent::ShortcutOverride) {
        auto* key = static_cast<QKeyEvent*>(event);
        if (key->key() == Qt::Key_Space && key->modifiers() == Qt::ControlModifier) {
            key->accept();
            return true;
        }
    }
    // Before it moves the focus, a tab is the list's.
    if (event->type() == QEvent::KeyPress && m_popup->isOpen() && static_cast<QKeyEvent*>(event)->key() == Qt::Key_Tab) {
        const QString word = m_popup->first();
        m_popup->close();
        take(word);
        event->accept();
        return true;
    }
    return QLineEdit::event(event);
}

void CompletingLine::keyPressEvent(QKeyEvent* event) {
    if (m_popup->isOpen() && m_popup->wants(event->key())) {
        event->ignore(); // the list's
        return;
    }
    if (event->key() == Qt::Key_Escape) return Q_EMIT leaveWanted();
    if (event->key() == Qt::Key_Space && event->modifiers() == Qt::ControlModifier) return suggest(true);
    QLineEdit::keyPressEvent(event);
    const QString text = event->text();
    if (!text.isEmpty() && (text[0].isLetterOrNumber() || text[0] == QLatin1Char('_') || text[0] == QLatin1Char('.'))) return suggest(false);
    if (event->key() == Qt::Key_Backspace && m_popup->isOpen()) return suggest(false);
    if (event->key() != Qt::Key_Shift && event->key() != Qt::Key_Control) m_popup->close();
}

void CompletingLine::suggest(bool asked) {
    m_place.row = models::toUtf8(text());
    m_place.at = models::toUtf8(text().left(cursorPosition())).size();
    Suggestions found = suggestionsAt(m_session, m_place);
    const bool field = found.from > 0 && m_place.row[found.from - 1] == '.';
    if (!asked && !field && m_place.at < found.from + 2) found.list.clear();
    m_from = found.from;
    m_popup->suggest(std::move(found.list), cursorRect(), asked);
}

void CompletingLine::take(const QString& word) {
    const auto from = static_cast<int>(models::fromUtf8(std::string_view(m_place.row).substr(0, m_from)).size());
    setSelection(from, cursorPosition() - from);
    insert(word);
}

} // namespace spanwright::editor
