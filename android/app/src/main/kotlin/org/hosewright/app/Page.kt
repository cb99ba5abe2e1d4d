package org.hosewright.app

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.Intent
import android.graphics.Rect
import android.graphics.Typeface
import android.graphics.drawable.ColorDrawable
import android.net.Uri
import android.os.Build
import android.os.Bundle
import android.provider.Settings
import android.text.TextUtils
import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.EditText
import android.widget.LinearLayout
import android.widget.ScrollView
import android.widget.TextView
import java.io.File
import org.hosewright.companion.Desk
import org.hosewright.companion.Screen
import org.hosewright.companion.say
import org.hosewright.core.ActionShown
import org.hosewright.core.Follows
import org.hosewright.core.Goes
import org.hosewright.core.Obstacle
import org.hosewright.core.PageOf
import org.hosewright.core.Question
import org.hosewright.core.Touch
import org.hosewright.core.Trouble
import org.hosewright.core.WayOn

/**
 * A page: one column that scrolls, rebuilt from what its screen has whenever
 * that is another. What is under the finger of a screen reader stays there.
 */
abstract class Page : Activity() {
    protected val app: HosewrightApp get() = application as HosewrightApp
    protected val desk: Desk get() = app.desk

    private lateinit var scroll: ScrollView
    private lateinit var column: LinearLayout
    private lateinit var foot: LinearLayout

    /** The page's name; a screen reader says it before anything else. */
    private var band: TextView? = null

    /** A screen so low, as of a phone that lies on its side, has its height for the page, and for what leaves it. */
    private val low: Boolean get() = resources.configuration.screenHeightDp < LOW

    /** Where the page is put; another layout may put it beside a camera's picture. */
    protected open fun frame(page: View): View = page

    /** Builds the page. */
    protected abstract fun build(on: Sheet)

    /** What stands over the page before its screen has said more; none for the app's own name. */
    protected open val name: String? get() = null

    /** Whether it is a page of its own on the way to something, and can be left without it. */
    protected open val cancels: Boolean get() = false

    /** The screens whose changes build the page again. */
    protected abstract val screens: List<Screen>

    /** The screen of a page. Turned, the page has the one that it had, with what it came to. */
    protected fun screen(of: () -> PageOf): Lazy<Screen> =
        lazy { (lastNonConfigurationInstance as? Screen) ?: Screen(desk, of()) }

    @Deprecated("The framework has no other form without libraries.")
    override fun onRetainNonConfigurationInstance(): Any? = screens.singleOrNull()

    /** What is in the fields and is not handed on yet, by their keys. */
    private val typed = mutableMapOf<String, String>()

    /** What was typed belongs to what is started again. */
    protected fun forgetTyped() = typed.clear()

    private var building = false

    private val told = Told()

    /** What stood in the way when the page was built last. */
    private var before: Pair<Screen, UInt>? = null

    /** What was asked when the page was built last. */
    private var questioned: Question? = null

    /** It came again, if only once more, and is not brought into sight yet. */
    private var unseen = false

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        name?.let { title = it }
        state?.getBundle(TYPED)?.run { keySet().forEach { typed[it] = getString(it).orEmpty() } }
        column = LinearLayout(this).apply {
            orientation = LinearLayout.VERTICAL
            val edge = resources.getDimensionPixelSize(R.dimen.edge)
            setPadding(edge, edge, edge, edge)
        }
        scroll = ScrollView(this).apply {
            isFillViewport = true
            setBackgroundColor(getColor(R.color.ground))
            addView(column)
        }
        foot = LinearLayout(this).apply {
            orientation = LinearLayout.VERTICAL
            setPadding(column.paddingLeft, resources.getDimensionPixelSize(R.dimen.gap), column.paddingRight, 0)
            background = Grounds(this@Page).foot()
            visibility = View.GONE
        }
        val (whole, own) = LinearLayout.LayoutParams.MATCH_PARENT to LinearLayout.LayoutParams.WRAP_CONTENT
        setContentView(
            LinearLayout(this).apply {
                orientation = LinearLayout.VERTICAL
                // Under the system's bars, whose letters are white.
                setBackgroundColor(getColor(R.color.band))
                setOnApplyWindowInsetsListener(Edges)
                if (!low || cancels) addView(head(), LinearLayout.LayoutParams(whole, own))
                addView(frame(scroll), LinearLayout.LayoutParams(whole, 0, 1f))
                addView(foot, LinearLayout.LayoutParams(whole, own))
            },
        )
        for (screen in screens) {
            screen.onChange = ::show
            screen.onProgress = { further(screen) }
            screen.onFollows = { follows(screen, it) }
        }
    }

    /** The page's name, and beside it, or under large letters, the way to leave it as it is; on a low screen as low as can be. */
    private fun head(): View {
        val large = resources.configuration.fontScale >= Pieces.LARGE && !low
        val name = TextView(this).apply {
            text = title
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_heading))
            typeface = Typeface.DEFAULT_BOLD
            setTextColor(getColor(R.color.on_band))
            if (low) {
                isSingleLine = true
                ellipsize = TextUtils.TruncateAt.END
            } else {
                setPadding(0, column.paddingTop / 2, 0, column.paddingTop / 2)
            }
            heading(this)
        }
        band = name
        return LinearLayout(this).apply {
            orientation = if (large) LinearLayout.VERTICAL else LinearLayout.HORIZONTAL
            gravity = Gravity.CENTER_VERTICAL
            setBackgroundColor(getColor(R.color.band))
            setPadding(column.paddingLeft, 0, column.paddingRight, 0)
            val own = LinearLayout.LayoutParams.WRAP_CONTENT
            val wide = if (large) LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, own) else LinearLayout.LayoutParams(0, own, 1f)
            addView(name, wide)
            if (cancels) addView(cancel(), LinearLayout.LayoutParams(own, own))
        }
    }

    private fun cancel() =
        TextView(this).apply {
            text = say.leaveIt
            gravity = Gravity.CENTER
            setTextSize(TypedValue.COMPLEX_UNIT_PX, resources.getDimension(R.dimen.text_body))
            typeface = Typeface.DEFAULT_BOLD
            setTextColor(getColor(R.color.on_band))
            background = Grounds(this@Page).answering(ColorDrawable(getColor(R.color.band)))
            val side = resources.getDimensionPixelSize(R.dimen.touch)
            minimumHeight = side
            minimumWidth = side
            setPadding(column.paddingLeft / 2, 0, column.paddingRight / 2, 0)
            tag = "cancel"
            isFocusable = true
            accessibilityDelegate = AsButton
            setOnClickListener { finish() }
        }

    override fun onTitleChanged(title: CharSequence?, colour: Int) {
        super.onTitleChanged(title, colour)
        band?.text = title
    }

    /** What was typed last is handed on before the page may be gone. */
    override fun onPause() {
        window.currentFocus?.clearFocus()
        screens.forEach { it.away() }
        super.onPause()
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        state.putBundle(TYPED, Bundle().apply { typed.forEach { (key, text) -> putString(key, text) } })
    }

    override fun onDestroy() {
        screens.forEach { if (isChangingConfigurations) it.apart() else it.leave() }
        super.onDestroy()
    }

    /** Builds the page again. */
    protected fun show() {
        if (isDestroyed || building) return
        val held = listOf(column, foot).firstNotNullOfOrNull { all -> all.findTagged { it.isAccessibilityFocused || it.isFocused } }?.tag
        // A field that is taken away loses the focus; that hands nothing on.
        building = true
        column.removeAllViews()
        foot.removeAllViews()
        told.begin()
        build(Sheet(this, column, foot.takeUnless { low }, typed, told) { !building })
        foot.visibility = if (foot.childCount > 0) View.VISIBLE else View.GONE
        building = false
        val again = held?.let { column.findViewWithTag<View?>(it) ?: foot.findViewWithTag<View?>(it) } ?: return
        again.requestFocus()
        (again as? EditText)?.run { setSelection(text.length) }
        again.performAccessibilityAction(AccessibilityNodeInfo.ACTION_ACCESSIBILITY_FOCUS, null)
    }

    /** How far something long is, and what stops it; whether anything is under way. */
    protected fun underWay(on: Sheet, screen: Screen): Boolean {
        val words = screen.progress?.takeIf { screen.underWay } ?: return false
        on.progress(PROGRESS, words)
        on.next("stop-it", say.stop) { screen.stop() }
        return true
    }

    /** Only the words are others: a button that is built anew under a finger hears no touch. */
    private fun further(screen: Screen) {
        val line = listOf(column, foot).firstNotNullOfOrNull { it.findViewWithTag<TextView?>(PROGRESS) }
        if (line == null) show() else line.text = screen.progress
    }

    /** What blocks it, with the ways on. */
    protected fun trouble(on: Sheet, screen: Screen) {
        question(on, screen)
        val trouble = screen.shown.trouble ?: return
        val words = listOf(trouble.words, trouble.todo).filter { it.isNotEmpty() }.joinToString(" ").replaceFirstChar(Char::uppercaseChar)
        val one = screen to trouble.number
        val new = one != before
        before = one
        val alert = on.alert(words, new)
        if (new) unseen = true
        if (unseen) alert.broughtIntoSight()
        for (way in trouble.waysOn) {
            on.button("way-${way.way}", way.words) { goOn(way.way, screen) }
        }
        near(on, trouble)
    }

    /** What is asked before something is done. */
    private fun question(on: Sheet, screen: Screen) {
        val question = screen.shown.question
        if (question == null) {
            questioned = null
            return
        }
        val alert = on.alert(question.words.joinToString("\n"), question != questioned)
        if (question != questioned) alert.broughtIntoSight()
        questioned = question
        val field = question.field?.let { name -> on.field("question", name, go = { screen.touch(Touch.Yes(it)) }) {} }
        on.button("yes", question.yes, main = true) { screen.touch(Touch.Yes(field?.text?.toString().orEmpty())) }
        on.button("no", question.no) { screen.touch(Touch.Dismiss) }
    }

    /** Goes where a touch leads. */
    protected open fun follows(screen: Screen, follows: Follows) {
        when (follows) {
            is Follows.Hose ->
                startActivity(
                    Intent(this, HoseActivity::class.java)
                        .putExtra(CODE, follows.text).putExtra(HoseActivity.SPEAK, follows.aloud).putExtra(HoseActivity.SAID, follows.said),
                )
            is Follows.Found -> {
                setResult(RESULT_OK, Intent().putExtra(CODE, follows.text))
                finish()
            }
            is Follows.Share -> SharedFiles.share(this, File(follows.path))
            is Follows.Set -> startActivity(Intent(this, SetActivity::class.java).putExtra(SET, follows.name))
            is Follows.Ticks -> startActivity(ticks(follows.of))
            is Follows.Form -> startActivity(form(follows.of))
            // A chip is waited for all the time, and only some pages have a camera.
            is Follows.Camera, is Follows.Chip, is Follows.WriteChip, is Follows.Ticked, is Follows.AskToRemind -> Unit
        }
    }

    /** What comes again is looked at, wherever on the page it stands; it has its place once it is laid out. */
    private fun View.broughtIntoSight() =
        addOnLayoutChangeListener(object : View.OnLayoutChangeListener {
            override fun onLayoutChange(
                view: View, left: Int, top: Int, right: Int, bottom: Int, oldLeft: Int, oldTop: Int, oldRight: Int, oldBottom: Int,
            ) {
                removeOnLayoutChangeListener(this)
                post {
                    requestRectangleOnScreen(Rect(0, 0, width, height), true)
                    unseen = false
                }
            }
        })

    /** Tags that come near what was typed. */
    protected open fun near(on: Sheet, trouble: Trouble) {}

    /** Goes a way on. */
    protected open fun goOn(way: WayOn, screen: Screen) {
        when (way) {
            WayOn.TRY_AGAIN -> screen.touch(Touch.TryAgain)
            WayOn.APP_SETTINGS -> open(
                Intent(Settings.ACTION_APPLICATION_DETAILS_SETTINGS, Uri.fromParts("package", packageName, null)),
            )
            WayOn.CHIP_SETTINGS -> open(Intent(Settings.ACTION_NFC_SETTINGS))
            WayOn.STORAGE_SETTINGS -> open(Intent(Settings.ACTION_INTERNAL_STORAGE_SETTINGS))
            WayOn.SHARE_COPY -> share(screen) { SharedFiles.copyOf(this, app.store()) }
            WayOn.SALVAGE -> startActivity(Intent(this, SalvageActivity::class.java))
            WayOn.ASK, WayOn.TYPE_CODE -> startActivity(Intent(this, ScanActivity::class.java))
        }
    }

    /** Makes a file beside the thread of screens, and shares it; where it can't be made, that is said. */
    protected fun share(screen: Screen, made: () -> File) = desk.beside(made) { outcome ->
        if (isDestroyed) return@beside
        outcome.onSuccess { SharedFiles.share(this, it) }.onFailure { screen.hindered(Obstacle.STORAGE_FULL, it.message) }
    }

    /** Goes to the answer for a hose of a list. */
    protected fun answer(code: String) = startActivity(Intent(this, HoseActivity::class.java).putExtra(CODE, code))

    /** Goes where an action leads, if that is a form or the camera. */
    protected fun follow(action: ActionShown) {
        when (val goes = action.goes) {
            is Goes.Form -> startActivity(form(goes.of))
            is Goes.Scan -> scan()
            else -> Unit
        }
    }

    /** Goes back to the first page, which scans. */
    protected fun scan() {
        val back = Intent.FLAG_ACTIVITY_CLEAR_TOP or Intent.FLAG_ACTIVITY_SINGLE_TOP
        startActivity(Intent(this, ScanActivity::class.java).addFlags(back))
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
        const val SET = "set"
        const val FIND = "find"
        const val READ = "read"
        const val TICKS = "ticks"
        private const val TYPED = "typed"
        private const val PROGRESS = "progress"

        /** The height in dp under which nothing stands still but the page. */
        private const val LOW = 480

        /** A headline of accessibility exists since API 28. */
        fun heading(view: View) {
            if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.P) view.isAccessibilityHeading = true
        }
    }
}
