// SPDX-License-Identifier: MIT
#pragma once

#include <QScrollArea>

#include "gui/models/first_job.h"

class QLabel;
class QListWidget;
class QVBoxLayout;

namespace spanwright::views {

class DrawingView;
class StampLabel;

/// One box for each question that must be answered, ticked with a pencil when it is.
class AnsweredBoxes : public QWidget {
    Q_OBJECT

public:
    explicit AnsweredBoxes(QWidget* parent = nullptr);
    void show(int answered, int all);
    [[nodiscard]] QSize sizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    int m_answered = 0, m_all = 0;
};

/// How a first job stands while it is being answered: sketch, verdict, the governing check in plain words, what is
/// not stated yet.
class FirstStanding : public QScrollArea {
    Q_OBJECT

public:
    explicit FirstStanding(models::FirstJob& job, QWidget* parent = nullptr);
    void setPicture(std::optional<models::FirstPicture> picture);
    [[nodiscard]] QString verdictWord() const { return m_word; }
    /// All that is said, in one text.
    [[nodiscard]] QString said() const;
    [[nodiscard]] QListWidget& open() { return *m_open; }

Q_SIGNALS:
    /// To a question that is not answered yet.
    void wanted(const QString& name);

protected:
    void changeEvent(QEvent* event) override;

private:
    void refresh();
    void fitFonts();
    models::FirstJob& m_job;
    std::optional<models::FirstPicture> m_picture;
    QString m_word;
    AnsweredBoxes* m_boxes;
    QLabel *m_title, *m_count, *m_governing, *m_note, *m_others, *m_openTitle, *m_cautions;
    StampLabel* m_stamp;
    QWidget* m_drawn;
    std::vector<DrawingView*> m_sketches;
    QVBoxLayout* m_sketchColumn;
    QListWidget* m_open;
};

} // namespace spanwright::views
