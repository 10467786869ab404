"""The squared paper in a browser, as its tests draw on it and read it."""

from playwright.sync_api import expect


def unfold(page, words):
    page.locator(".ft-drawing summary", has_text=words).click()


def figure(page):
    """What stands on the paper, as the page writes it in squares."""
    squares = page.locator("[name=squares]")
    if not squares.is_visible():
        unfold(page, "As squares")
        expect(squares).not_to_have_value("")
    expect(squares).not_to_have_attribute("aria-busy", "true")
    return squares.input_value()


def draw(page, squares):
    figure(page)
    page.locator("[name=squares]").fill(squares.strip())
    page.get_by_role("button", name="Draw it so").click()


def does(page, name):
    page.locator(f'[data-does="{name}"]').click()


class Fingers:
    """Real fingers on the paper, each at a unit and row counted from 1."""

    def __init__(self, page, across, up):
        self.touch, self.down = page.context.new_cdp_session(page), []
        paper = page.locator("canvas.ft-squares")
        paper.scroll_into_view_if_needed()
        box = paper.bounding_box()
        wide, high = box["width"] - 30, box["height"] - 20  # the numbers stand beside and below
        size = min((wide - 8) / across, (high - 8) / up)
        self.size = size
        self.left = box["x"] + 30 + (wide - across * size) / 2
        self.low = box["y"] + high - (high - up * size) / 2

    def at(self, unit, row):
        return {"x": self.left + (unit - 0.5) * self.size, "y": self.low - (row - 0.5) * self.size}

    def go(self, kind, *places):
        points = [{**self.at(*place), "id": number} for number, place in enumerate(places)]
        self.touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def stroke(self, *places):
        self.go("touchStart", places[0])
        for place in places[1:]:
            self.go("touchMove", place)
        self.go("touchEnd")


def drawn_units(text):
    lines = text.split("\n")[::-1]
    return {
        (unit, row)
        for row, line in enumerate(lines, 1)
        for unit, sign in enumerate(line, 1)
        if sign == "#"
    }
