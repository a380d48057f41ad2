// SPDX-License-Identifier: MIT
#include "gui/editor/completing_keys.h"

#include <QKeyEvent>

namespace spanwright::editor {

namespace {
bool asks(const QKeyEvent& key) { return key.key() == Qt::Key_Space && key.modifiers() == Qt::ControlModifier; }
} // namespace

bool CompletingKeys::first(QEvent* event) {
    if (event->type() != QEvent::ShortcutOverride && event->type() != QEvent::KeyPress) return false;
    auto* key = static_cast<QKeyEvent*>(event);
    if (event->type() == QEvent::ShortcutOverride) {
        if (!asks(*key)) return false;
    } else {
        // Before it moves the focus, a tab is the list's.
        if (!m_popup.isOpen() || key->key() != Qt::Key_Tab) return false;
        const QString word = m_popup.first();
        m_popup.close();
        m_editor.take(word);
    }
    event->accept();
    return true;
}

bool CompletingKeys::before(QKeyEvent* event) {
    if (m_popup.isOpen() && m_popup.wants(event->key())) {
        event->ignore(); // the list's
        return true;
    }
    if (event->key() == Qt::Key_Escape)
        m_editor.leave();
    else if (asks(*event))
        m_editor.suggest(true);
    else
        return false;
    return true;
}

void CompletingKeys::behind(const QKeyEvent& event) {
    const QString text = event.text();
    const bool word = !text.isEmpty() && (text[0].isLetterOrNumber() || text[0] == QLatin1Char('_') || text[0] == QLatin1Char('.'));
    if (word || (event.key() == Qt::Key_Backspace && m_popup.isOpen()))
        m_editor.suggest(false);
    else if (event.key() != Qt::Key_Shift && event.key() != Qt::Key_Control)
        m_popup.close();
}

} // namespace spanwright::editor
