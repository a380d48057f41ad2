// SPDX-License-Identifier: MIT
#pragma once

#include <QLineEdit>

#include "gui/editor/completing_keys.h"
#include "gui/editor/completion.h"

namespace spanwright::editor {

/// One row of a sheet or a job on a line of its own, with suggestions.
class CompletingLine : public QLineEdit {
    Q_OBJECT

public:
    /// `place` says where the row stands; its text and cursor are filled in here.
    CompletingLine(models::JobSession& session, CompletionPlace place, QWidget* parent = nullptr);
    [[nodiscard]] CompletionPopup& popup() { return *m_popup; }

Q_SIGNALS:
    void leaveWanted();

protected:
    bool event(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    void suggest(bool asked);
    void take(const QString& word);
    models::JobSession& m_session;
    CompletionPlace m_place;
    CompletionPopup* m_popup;
    CompletingKeys m_keys;
    std::size_t m_from = 0; ///< byte where the word begins that a suggestion replaces
};

} // namespace spanwright::editor
