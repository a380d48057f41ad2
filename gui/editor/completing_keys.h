// SPDX-License-Identifier: MIT
#pragma once

#include <functional>

#include "gui/editor/completion_popup.h"

class QEvent;
class QKeyEvent;

namespace spanwright::editor {

/// What the keys do in an editor that suggests, whatever widget it is: Ctrl+Space asks, letters bring suggestions by
/// themselves, Tab takes the first, Return what is chosen, Escape closes the list and, where none is open, leaves.
///
/// The editor asks before(), then does with the key what it does itself, then tells behind().
class CompletingKeys {
public:
    struct Editor {
        std::function<void(bool asked)> suggest;
        std::function<void(const QString& word)> take;
        std::function<void()> leave;
    };
    CompletingKeys(CompletionPopup& popup, Editor editor) : m_popup(popup), m_editor(std::move(editor)) {}

    /// From event(): true when the key is taken before it is a shortcut or moves the focus.
    bool first(QEvent* event);
    /// From keyPressEvent(): true when there is nothing left to do with the key.
    bool before(QKeyEvent* event);
    void behind(const QKeyEvent& event);

private:
    CompletionPopup& m_popup;
    Editor m_editor;
};

} // namespace spanwright::editor
