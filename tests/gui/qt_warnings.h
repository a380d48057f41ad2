// SPDX-License-Identifier: MIT
#pragma once

#include <QApplication>
#include <QRegularExpression>
#include <QTest>

/// Fails the test in which Qt warns that it is used wrongly ("QAbstractItemView::commitData called with an editor that does not belong to this
/// view"). The test library sets a handler of messages of its own for each class, so this one is put before it with the first event after that.
class QtWarnings : public QObject {
public:
    explicit QtWarnings(QApplication& app) : QObject(&app) { app.installEventFilter(this); }
    /// Another class of tests begins.
    void watch() { m_watching = false; }
    [[nodiscard]] static int count() { return s_count; }
    /// Qt's own functions begin so, and so do a few that name none.
    [[nodiscard]] static bool isMisuse(const QString& message) {
        static const QRegularExpression pattern(
            QStringLiteral("^(Q[A-Z]\\w*(<.*>)?::|edit: |Could not parse|Cannot (create|set|queue)|Timers cannot|Cyclic|Layout|Unbalanced|"
                           "Attempt|Negative sizes|Populating|Error:)"));
        // What the machine lacks, such as a runtime folder, is no misuse.
        return pattern.match(message).hasMatch() && !message.startsWith(QStringLiteral("QStandardPaths"));
    }

    bool eventFilter(QObject*, QEvent*) override {
        if (!m_watching) {
            m_watching = true;
            s_before = qInstallMessageHandler(tell);
        }
        return false;
    }

private:
    static void tell(QtMsgType type, const QMessageLogContext& context, const QString& message) {
        if (s_before != nullptr) s_before(type, context, message);
        if (type != QtWarningMsg || !isMisuse(message)) return;
        ++s_count;
        if (QTest::currentTestFunction() != nullptr) QTest::qFail(qPrintable(QStringLiteral("Qt warned: %1").arg(message)), __FILE__, __LINE__);
    }

    bool m_watching = false;
    static inline int s_count = 0;
    static inline QtMessageHandler s_before = nullptr;
};
