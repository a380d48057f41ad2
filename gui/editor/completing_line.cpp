// SPDX-License-Identifier: MIT
#include "gui/editor/completing_line.h"

#include <QKeyEvent>

#include "gui/editor/completion_popup.h"
#include "gui/models/text.h"

namespace spanwright::editor {

CompletingLine::CompletingLine(models::JobSession& session, CompletionPlace place, QWidget* parent)
    : QLineEdit(parent), m_session(session), m_place(std::move(place)), m_popup(new CompletionPopup(this)),
      m_keys(*m_popup, {[this](bool asked) { suggest(asked); }, [this](const QString& word) { take(word); }, [this] { Q_EMIT leaveWanted(); }}) {
    connect(m_popup, qOverload<const QString&>(&QCompleter::activated), this, &CompletingLine::take);
}

bool CompletingLine::event(QEvent* event) { return m_keys.first(event) || QLineEdit::event(event); }

void CompletingLine::keyPressEvent(QKeyEvent* event) {
    if (m_keys.before(event)) return;
    QLineEdit::keyPressEvent(event);
    m_keys.behind(*event);
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
