// SPDX-License-Identifier: MIT
#pragma once

#include <QAbstractButton>
#include <QListView>
#include <QWidget>

#include "gui/models/problem_list.h"

namespace spanwright::views {

/// The sentence as a button: words in bold, no box.
class SentenceButton : public QAbstractButton {
    Q_OBJECT

public:
    explicit SentenceButton(QWidget* parent);
    [[nodiscard]] QSize sizeHint() const override;
    /// A long sentence goes on in further lines; nothing of it is cut.
    [[nodiscard]] bool hasHeightForWidth() const override { return true; }
    [[nodiscard]] int heightForWidth(int width) const override;

protected:
    void paintEvent(QPaintEvent* event) override;
};

/// One sentence that says how the job stands. It opens the list of what is wrong; each entry leads to its row.
class SentenceBar : public QWidget {
    Q_OBJECT

public:
    explicit SentenceBar(models::ProblemList& problems, QWidget* parent = nullptr);
    [[nodiscard]] QAbstractButton& sentence() { return *m_sentence; }
    [[nodiscard]] QListView& list() { return *m_list; }
    void setOpen(bool open);
    /// Something that stands below the list while it is open.
    void addBelow(QWidget* widget);
    [[nodiscard]] bool isOpen() const { return m_list->isVisibleTo(this); }

Q_SIGNALS:
    void jump(const spanwright::models::Trouble& trouble);

protected:
    bool eventFilter(QObject* object, QEvent* event) override;

private:
    void refresh();
    models::ProblemList& m_problems;
    QAbstractButton* m_sentence;
    QListView* m_list;
};

} // namespace spanwright::views
