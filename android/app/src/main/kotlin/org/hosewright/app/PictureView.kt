package org.hosewright.app

import android.content.Context
import android.graphics.Canvas
import android.graphics.DashPathEffect
import android.graphics.Paint
import android.graphics.Path
import android.graphics.Typeface
import android.view.View
import org.hosewright.core.TextAnchor
import org.hosewright.core.Mark
import org.hosewright.core.Picture
import org.hosewright.core.Step
import org.hosewright.core.Stroke

/** A set drawn as it sits, shape by shape as the core says; a screen reader hears its words. */
class PictureView(context: Context, private val picture: Picture) : View(context) {
    private val paint = Paint(Paint.ANTI_ALIAS_FLAG)
    private val path = Path()

    /** How large a unit of the picture is drawn: the page's width is used, as far as its letters become no headlines. */
    private var unit = 1f

    init {
        contentDescription = picture.words
        isFocusable = true
        tag = "picture"
    }

    override fun onMeasure(wide: Int, high: Int) {
        val room = MeasureSpec.getSize(wide)
        unit = minOf(room.toFloat() / picture.width, LARGEST * resources.displayMetrics.density)
        setMeasuredDimension(room, (picture.height * unit).toInt())
    }

    override fun onDraw(canvas: Canvas) {
        canvas.save()
        canvas.translate((width - picture.width * unit) / 2, 0f)
        canvas.scale(unit, unit)
        picture.marks.forEach { draw(canvas, it) }
        canvas.restore()
    }

    private fun draw(canvas: Canvas, mark: Mark) {
        when (mark) {
            is Mark.Rect -> {
                val (left, top) = mark.at.x.toFloat() to mark.at.y.toFloat()
                val round = mark.round.toFloat()
                painted(mark.fill, mark.stroke) {
                    canvas.drawRoundRect(left, top, left + mark.width, top + mark.height, round, round, paint)
                }
            }
            is Mark.Circle -> painted(mark.fill, mark.stroke) {
                canvas.drawCircle(mark.at.x.toFloat(), mark.at.y.toFloat(), mark.radius.toFloat(), paint)
            }
            is Mark.Path -> {
                trace(mark.steps)
                painted(mark.fill, mark.stroke) { canvas.drawPath(path, paint) }
            }
            is Mark.Text -> {
                filled(mark.fill)
                paint.textSize = mark.size.toFloat()
                paint.typeface = Typeface.create(Typeface.SANS_SERIF, if (mark.bold) Typeface.BOLD else Typeface.NORMAL)
                paint.textAlign = when (mark.anchor) {
                    TextAnchor.START -> Paint.Align.LEFT
                    TextAnchor.MIDDLE -> Paint.Align.CENTER
                    TextAnchor.END -> Paint.Align.RIGHT
                }
                canvas.drawText(mark.words, mark.at.x.toFloat(), mark.at.y.toFloat(), paint)
            }
        }
    }

    private fun trace(steps: List<Step>) {
        path.reset()
        for (step in steps) {
            when (step) {
                is Step.From -> path.moveTo(step.at.x.toFloat(), step.at.y.toFloat())
                is Step.To -> path.lineTo(step.at.x.toFloat(), step.at.y.toFloat())
                is Step.Curve -> path.cubicTo(
                    step.first.x.toFloat(), step.first.y.toFloat(),
                    step.second.x.toFloat(), step.second.y.toFloat(),
                    step.to.x.toFloat(), step.to.y.toFloat(),
                )
                is Step.Close -> path.close()
            }
        }
    }

    /** What is enclosed first, then the line round it. */
    private fun painted(fill: UInt?, stroke: Stroke?, draw: () -> Unit) {
        if (fill != null) {
            filled(fill)
            draw()
        }
        if (stroke != null) {
            paint.style = Paint.Style.STROKE
            paint.color = opaque(stroke.colour)
            paint.strokeWidth = stroke.width.toFloat()
            paint.strokeJoin = if (stroke.round) Paint.Join.ROUND else Paint.Join.MITER
            paint.pathEffect =
                if (stroke.dash > 0) DashPathEffect(floatArrayOf(stroke.dash.toFloat(), stroke.gap.toFloat()), 0f) else null
            draw()
        }
    }

    private fun filled(colour: UInt) {
        paint.style = Paint.Style.FILL
        paint.pathEffect = null
        paint.color = opaque(colour)
    }

    private fun opaque(colour: UInt) = 0xFF000000.toInt() or colour.toInt()

    private companion object {
        /** How many pixels of a plain screen a unit has at most. */
        const val LARGEST = 1.6f
    }
}
