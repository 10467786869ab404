"""What the device keeps: on its disk before it is called kept, told to every tab."""

NO_STORE = """Object.defineProperty(globalThis, "indexedDB",
  { get() { throw new DOMException("closed", "SecurityError"); } });"""


def use(page, host, call, *given):
    """Call one of the store's functions in a page of the handbook."""
    return page.evaluate(
        "async ([at, call, given]) => (await import(at))[call](...given)",
        [f"{host.address}assets/store.mjs", call, given],
    )


def opened(context, host):
    page = context.new_page()
    page.goto(f"{host.address}care/")
    return page


def test_what_is_kept_outlives_its_page_and_is_told_to_other_tabs(phone, host):
    one, other = opened(phone, host), opened(phone, host)
    other.evaluate(
        """async (at) => { globalThis.heard = [];
        (await import(at)).watch("records", (key) => heard.push(key)); }""",
        f"{host.address}assets/store.mjs",
    )
    assert use(one, host, "write", "records", "b", {"shrinkage": "5.5 %"}) is True
    one.close()  # at once: what was called kept is there
    assert use(other, host, "write", "records", "a", {"shrinkage": "6 %"}) is True
    assert use(other, host, "write", "plans", "a", {"name": "Another kind"}) is True
    later = opened(phone, host)
    assert use(later, host, "all", "records") == [
        {"key": "a", "shrinkage": "6 %"},
        {"key": "b", "shrinkage": "5.5 %"},
    ]
    use(later, host, "remove", "records", "b")
    assert use(other, host, "read", "records", "b") is None
    assert use(other, host, "read", "plans", "a") == {"name": "Another kind"}
    other.wait_for_function("() => heard.length === 3")
    assert other.evaluate("heard") == ["b", "a", "b"]


def test_what_an_earlier_edition_kept_is_taken_over_once(phone, host):
    page = opened(phone, host)
    earlier = {
        "ft-plan-one": '{"name":"Old",'
        '"calculator":"sett","inputs":{"weave":"plain"},"kept":"2026"}',
        "ft-count-two": '{"picks":321,"address":"#v=1&calculator=cloth-plan"}',
        "ft-plan-broken": "{",
        "ft-world": "imperial",
    }
    page.evaluate("(all) => Object.assign(localStorage, all)", earlier)
    (plan,) = use(page, host, "all", "plans")
    assert plan["key"] == "one"
    assert (plan["name"], plan["inputs"], plan["kept"]) == ("Old", {"weave": "plain"}, "2026")
    assert use(page, host, "read", "counts", "two")["picks"] == 321
    left = page.evaluate("Object.keys(localStorage).sort()")
    assert left == ["ft-plan-broken", "ft-world"]  # what cannot be read is not thrown away
    use(page, host, "write", "counts", "two", {"picks": 330})
    page.evaluate("(all) => Object.assign(localStorage, all)", earlier)  # an old tab wrote again
    assert use(page, host, "read", "counts", "two")["picks"] == 330
    use(page, host, "remove", "plans", "one")
    assert use(opened(phone, host), host, "all", "plans") == []


def test_what_is_kept_waits_for_the_disk_itself(phone, host):
    page = opened(phone, host)
    page.evaluate(
        """() => {
        globalThis.asked = [];
        const { transaction } = IDBDatabase.prototype;
        IDBDatabase.prototype.transaction = function (kept, mode, options) {
          asked.push([mode, options?.durability]);
          return transaction.call(this, kept, mode, options);
        };
        }"""
    )
    assert use(page, host, "write", "counts", "one", {"picks": 7}) is True
    use(page, host, "remove", "counts", "one")
    writing = [durability for mode, durability in page.evaluate("asked") if mode == "readwrite"]
    assert len(writing) >= 2
    assert set(writing) == {"strict"}


def test_a_full_store_and_none_say_no(phone, new_device, host):
    page = opened(phone, host)
    room = {"origin": page.evaluate("location.origin"), "quotaSize": 1_000_000}
    phone.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", room)
    assert use(page, host, "write", "plans", "before", {"name": "Before"}) is True
    assert use(page, host, "write", "plans", "after", {"name": "x" * 2_000_000}) is False
    assert [plan["key"] for plan in use(page, host, "all", "plans")] == ["before"]
    assert use(page, host, "lasts") is True
    with new_device() as device:
        device.add_init_script(NO_STORE)
        page = opened(device, host)
        assert use(page, host, "write", "plans", "one", {"name": "For now"}) is False
        assert use(page, host, "all", "plans") == [{"key": "one", "name": "For now"}]
        assert use(page, host, "lasts") is False
        # What an earlier edition kept cannot be taken over here; once deleted it stays away.
        page.evaluate("""localStorage["ft-plan-old"] = '{"name":"Old","calculator":"sett"}'""")
        page.reload()
        assert [plan["name"] for plan in use(page, host, "all", "plans")] == ["Old"]
        use(page, host, "remove", "plans", "old")
        page.reload()
        assert use(page, host, "all", "plans") == []
