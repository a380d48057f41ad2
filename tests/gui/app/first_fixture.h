// SPDX-License-Identifier: MIT
#pragma once

#include <QApplication>
#include <QFile>
#include <QSettings>
#include <QTemporaryDir>
#include <QTest>

#include <memory>

#include "gui/app/desk_window.h"
#include "gui/views/first_picture.h"
#include "gui/views/first_screen.h"
#include "gui/views/grid_view.h"
#include "gui/views/question_form.h"

/// The window as it starts without a job: on the first page, the keys at the first picture.
struct First {
    QTemporaryDir dir;
    std::unique_ptr<spanwright::app::DeskWindow> window;

    First() {
        QSettings().clear();
        // However slow the machine is, letters typed one after the other are one word.
        QApplication::setKeyboardInputInterval(60'000);
        window = std::make_unique<spanwright::app::DeskWindow>(QStringLiteral(SPANWRIGHT_SOURCE_DIR "/sheets"), dir.filePath(QStringLiteral("journal")));
        window->resize(1280, 800);
        window->show();
        QVERIFY(QTest::qWaitForWindowExposed(window.get()));
        window->activateWindow();
        QTRY_VERIFY(screen().button(spanwright::models::FirstPicture::Joist)->hasFocus());
    }
    spanwright::views::FirstScreen& screen() { return window->first(); }
    void key(Qt::Key k, Qt::KeyboardModifiers m = Qt::NoModifier) { QTest::keyClick(QApplication::focusWidget(), k, m); }
    void keys(const char* text) { QTest::keyClicks(QApplication::focusWidget(), QString::fromUtf8(text)); }
    /// Types into the line that has the focus and goes on.
    void type(const char* text) {
        keys(text);
        key(Qt::Key_Tab);
    }
    /// Keeps the job, waits for its grid; the text of its file, empty where it was not kept.
    QByteArray keep() {
        QFile file(dir.filePath(QStringLiteral("first.spanjob")));
        if (!window->keepFirstAs(file.fileName()) || !QTest::qWaitFor([this] { return window->gridView().isVisible(); })) return {};
        return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
    }
    spanwright::views::QuestionField& field(const char* name) { return *screen().form().field(QString::fromUtf8(name)); }
};
