package org.hosewright.app

import android.os.Build
import android.view.View
import android.view.WindowInsets
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.Button

/** A screen reader calls it a button. */
internal object AsButton : View.AccessibilityDelegate() {
    override fun onInitializeAccessibilityNodeInfo(host: View, info: AccessibilityNodeInfo) {
        super.onInitializeAccessibilityNodeInfo(host, info)
        info.className = Button::class.java.name
    }
}

/** Keeps a page out from under the system's bars, the camera's notch and the keyboard. */
internal object Edges : View.OnApplyWindowInsetsListener {
    override fun onApplyWindowInsets(view: View, insets: WindowInsets): WindowInsets {
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.R) {
            val all = WindowInsets.Type.systemBars() or WindowInsets.Type.displayCutout() or WindowInsets.Type.ime()
            insets.getInsets(all).run { view.setPadding(left, top, right, bottom) }
            return WindowInsets.CONSUMED
        }
        @Suppress("DEPRECATION") // The other form needs API 30.
        insets.run { view.setPadding(systemWindowInsetLeft, systemWindowInsetTop, systemWindowInsetRight, systemWindowInsetBottom) }
        @Suppress("DEPRECATION")
        return insets.consumeSystemWindowInsets()
    }
}
