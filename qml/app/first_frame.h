#pragma once

class QQuickWindow;

namespace chockside::app {

/// With CHOCKSIDE_FIRST_FRAME=1: prints "FF <ms since T0_NS> RSS <kB>" at the first frame on the glass and ends the process.
void watch_first_frame(QQuickWindow* window);

} // namespace chockside::app
