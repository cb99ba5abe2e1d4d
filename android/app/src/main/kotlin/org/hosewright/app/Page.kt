package org.hosewright.app

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.Intent
import android.net.Uri
import android.os.Build
import android.os.Bundle
import android.provider.Settings
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.EditText
import android.widget.LinearLayout
import android.widget.ScrollView
import org.hosewright.companion.Desk
import org.hosewright.companion.Screen
import org.hosewright.companion.Trouble
import org.hosewright.core.WayOn

/**
 * A page: one column that scrolls, built anew from what its screen has whenever
 * that is another. What is under the finger of a screen reader stays there.
 */
abstract class Page : Activity() {
    protected val app: HosewrightApp get() = application as HosewrightApp
    protected val desk: Desk get() = app.desk

    private lateinit var scroll: ScrollView
    private lateinit var column: LinearLayout

    /** Where the page is put; another layout may put it beside a camera's picture. */
    protected open fun frame(page: View): View = page

    /** Builds the page. */
    protected abstract fun build(on: Sheet)

    /** The screens whose changes build the page anew. */
    protected abstract val screens: List<Screen<*>>

    /** What stands in the fields and is not handed on yet, by their keys. */
    private val typed = mutableMapOf<String, String>()

    /** What was typed belongs to what is begun anew. */
    protected fun forgetTyped() = typed.clear()

    private var building = false

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        state?.getBundle(TYPED)?.run { keySet().forEach { typed[it] = getString(it).orEmpty() } }
        column = LinearLayout(this).apply {
            orientation = LinearLayout.VERTICAL
            val edge = resources.getDimensionPixelSize(R.dimen.edge)
            setPadding(edge, edge, edge, edge)
        }
        scroll = ScrollView(this).apply {
            isFillViewport = true
            addView(column)
        }
        setContentView(frame(scroll))
        screens.forEach { it.onChange = ::show }
    }

    /** What was typed last is handed on before the page may be gone. */
    override fun onPause() {
        currentFocus?.clearFocus()
        super.onPause()
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putBundle(TYPED, Bundle().apply { typed.forEach { (key, text) -> putString(key, text) } })
    }

    override fun onDestroy() {
        screens.forEach { it.leave() }
        super.onDestroy()
    }

    /** Builds the page anew. */
    protected fun show() {
        if (isDestroyed || building) return
        val held = column.findTagged { it.isAccessibilityFocused || it.isFocused }?.tag
        // A field that is taken away loses the focus; that hands nothing on.
        building = true
        column.removeAllViews()
        build(Sheet(this, column, typed) { !building })
        building = false
        val again = held?.let { column.findViewWithTag<View>(it) } ?: return
        again.requestFocus()
        (again as? EditText)?.run { setSelection(text.length) }
        again.performAccessibilityAction(AccessibilityNodeInfo.ACTION_ACCESSIBILITY_FOCUS, null)
    }

    /** What stands in the way, with the ways on. */
    protected fun trouble(on: Sheet, screen: Screen<*>) {
        val trouble = screen.trouble ?: return
        on.alert(listOf(trouble.words, trouble.todo).filter { it.isNotEmpty() }.joinToString(" "))
        for (way in trouble.waysOn) {
            on.button("way-${way.way}", way.words) { goOn(way.way, screen) }
        }
        near(on, trouble)
    }

    /** Tags that come near what was typed. */
    protected open fun near(on: Sheet, trouble: Trouble) {}

    /** Goes a way on. */
    protected open fun goOn(way: WayOn, screen: Screen<*>) {
        when (way) {
            WayOn.TRY_AGAIN -> screen.tryAgain()
            WayOn.APP_SETTINGS -> open(
                Intent(Settings.ACTION_APPLICATION_DETAILS_SETTINGS, Uri.fromParts("package", packageName, null)),
            )
            WayOn.CHIP_SETTINGS -> open(Intent(Settings.ACTION_NFC_SETTINGS))
            WayOn.STORAGE_SETTINGS -> open(Intent(Settings.ACTION_INTERNAL_STORAGE_SETTINGS))
            WayOn.SHARE_COPY -> SharedFiles.share(this, SharedFiles.copyOf(this, app.store()))
            WayOn.SALVAGE -> startActivity(Intent(this, SalvageActivity::class.java))
            WayOn.ASK, WayOn.TYPE_CODE -> startActivity(Intent(this, ScanActivity::class.java))
        }
    }

    private fun open(settings: Intent) {
        try {
            startActivity(settings)
        } catch (_: ActivityNotFoundException) {
            startActivity(Intent(Settings.ACTION_SETTINGS))
        }
    }

    private fun View.findTagged(fits: (View) -> Boolean): View? {
        if (tag != null && fits(this)) return this
        if (this is LinearLayout) {
            for (at in 0 until childCount) getChildAt(at).findTagged(fits)?.let { return it }
        }
        return null
    }

    companion object {
        /** What a page is about. */
        const val CODE = "code"
        const val OTHER = "other"
        const val KIND = "kind"
        const val SET = "set"
        const val FIND = "find"
        const val READ = "read"
        private const val TYPED = "typed"

        /** A headline of accessibility exists since API 28. */
        fun heading(view: View) {
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) view.isAccessibilityHeading = true
        }
    }
}
