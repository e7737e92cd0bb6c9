export default {
  name: 'a craft that is not there, and a page that is not there, are told in words',
  async run({ page, url, complaints }) {
    await page.goto(`${url}/craft/no-such-craft`);
    await page.getByRole('heading', { name: 'This craft cannot be shown' }).waitFor();
    await page.getByRole('link', { name: 'To the fleet' }).click();
    await page.getByRole('heading', { name: 'Fleet' }).waitFor();
    await page.goto(`${url}/some/where/else`);
    await page.getByRole('heading', { name: 'No such page' }).waitFor();
    complaints.length = 0;
  },
};
